// Bytes as a log: read or refused with a message, never a crash, and never written to.
#include <sys/mman.h>
#include <unistd.h>

#include <cstdint>
#include <cstdlib>
#include <string>

#include "dsp/log/log_book.h"

using namespace skedlark;

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    const int file = ::memfd_create("fuzz", 0);
    if (file < 0 || ::write(file, data, size) != static_cast<ssize_t>(size)) {
        std::abort();
    }
    const std::string path = "/proc/self/fd/" + std::to_string(file);
    const auto book = log::LogBook::open(path, log::Access::read);
    if (!book) {
        if (book.error().message.empty()) {
            std::abort();
        }
    } else if (const auto found = book->find({}); !found && found.error().message.empty()) {
        std::abort();
    }
    if (::lseek(file, 0, SEEK_END) != static_cast<off_t>(size)) {
        std::abort();
    }
    ::close(file);
    return 0;
}
