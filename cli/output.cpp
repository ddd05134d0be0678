#include "cli/output.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <csignal>
#include <cstring>

namespace skedlark::cli {

namespace {

constexpr std::size_t kHoldBack = 65536;

OutputFailure failure_from(int error) {
    switch (error) {
        case EPIPE:
            return {"standard output was closed by its reader", kCutShort};
        case ENOSPC:
        case EDQUOT:
        case EFBIG:
            return {fmt::format("standard output cannot be written: {}", std::strerror(error)),
                    kCutShort};
        default:
            return {fmt::format("standard output cannot be written: {}", std::strerror(error)),
                    kCannot};
    }
}

}  // namespace

void Output::write(std::string_view text) {
    if (failure_) {
        return;
    }
    pending_.append(text);
    if (pending_.size() >= kHoldBack) {
        flush();
    }
}

bool Output::flush() {
    std::string_view rest = pending_;
    while (!failure_ && !rest.empty()) {
        const ssize_t written = ::write(descriptor_, rest.data(), rest.size());
        if (written >= 0) {
            rest.remove_prefix(static_cast<std::size_t>(written));
        } else if (errno != EINTR) {
            failure_ = failure_from(errno);
        }
    }
    pending_.clear();
    return !failure_;
}

void guard_standard_streams() {
    std::signal(SIGPIPE, SIG_IGN);
    for (int descriptor = 0; descriptor <= 2; ++descriptor) {
        if (::fcntl(descriptor, F_GETFD) == -1 && errno == EBADF) {
            // The lowest free number is taken, so this lands on `descriptor`. Read-only for 0 and
            // 1: a write to a standard output that came closed must still fail.
            (void)::open("/dev/null", descriptor == 2 ? O_WRONLY : O_RDONLY);
        }
    }
}

void print_error(std::string_view verb, std::string_view message) {
    Output errors(2);
    errors.write(verb.empty() ? fmt::format("skedlark: {}\n", message)
                              : fmt::format("skedlark {}: {}\n", verb, message));
    errors.flush();
}

}  // namespace skedlark::cli
