#include "cli/new_file.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>

namespace skedlark::cli {

namespace {

bool write_all(int file, std::string_view content) {
    while (!content.empty()) {
        const ssize_t written = ::write(file, content.data(), content.size());
        if (written < 0 && errno != EINTR) return false;
        if (written > 0) content.remove_prefix(static_cast<std::size_t>(written));
    }
    return ::fsync(file) == 0 || errno == EINVAL;
}

Error refused(const std::string& path) {
    const bool full = errno == ENOSPC || errno == EDQUOT || errno == EFBIG;
    return {full ? ErrorCode::disk_full : ErrorCode::write_failed,
            path + ": cannot be written: " + std::strerror(errno)};
}

}  // namespace

Status write_whole_file(const std::string& path, std::string_view content) {
    const std::string passing = path + ".new";
    const int file = ::open(passing.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);
    if (file < 0) return refused(path);
    bool good = write_all(file, content);
    const int error = errno;
    good = ::close(file) == 0 && good;
    if (good && std::rename(passing.c_str(), path.c_str()) == 0) return Done{};
    if (!good) errno = error;
    const Error why = refused(path);
    ::unlink(passing.c_str());
    return why;
}

}  // namespace skedlark::cli
