#include "dsp/audio/descriptor.h"

#include <poll.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <chrono>
#include <thread>

namespace skedlark::audio {

Descriptor::~Descriptor() {
    if (number_ >= 0) close(number_);
}

bool Descriptor::is_regular_file() const {
    struct stat info {};
    return fstat(number_, &info) == 0 && S_ISREG(info.st_mode);
}

Descriptor::Ready Descriptor::wait_for(std::int64_t wanted, int wait_ms) const {
    using Clock = std::chrono::steady_clock;
    const auto until = Clock::now() + std::chrono::milliseconds(wait_ms);
    while (true) {
        const auto left =
            std::chrono::duration_cast<std::chrono::milliseconds>(until - Clock::now()).count();
        pollfd waiting{number_, POLLIN, 0};
        const int events = poll(&waiting, 1, left > 0 ? static_cast<int>(left) : 0);
        int bytes = 0;
        // Where the kind of descriptor cannot tell, plain blocking reads have to do.
        if (ioctl(number_, FIONREAD, &bytes) != 0) return {wanted, events != 0};
        // Readable with nothing there is the end of a pipe; a socket or terminal says so as well.
        const bool hung_up = events > 0 && (waiting.revents & (POLLHUP | POLLERR)) != 0;
        const bool at_end = events > 0 && bytes == 0;
        if (bytes >= wanted || hung_up || at_end) return {bytes, hung_up || at_end};
        if (left <= 0 || events < 0) return {bytes, false};
        // Some bytes are there, so poll would return at once: wait a little for the rest.
        if (bytes > 0) std::this_thread::sleep_for(std::chrono::milliseconds(2));
    }
}

}  // namespace skedlark::audio
