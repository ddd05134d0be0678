#include "cli/key_reader.h"

#include <poll.h>
#include <unistd.h>

namespace skedlark::cli {

KeyReader::KeyReader(int descriptor) : descriptor_(descriptor) {
    termios now{};
    if (::isatty(descriptor) == 0 || ::tcgetattr(descriptor, &now) != 0) return;
    before_ = now;
    now.c_lflag &= ~static_cast<tcflag_t>(ICANON | ECHO);  // signals by key stay as they are
    now.c_cc[VMIN] = 1;
    now.c_cc[VTIME] = 0;
    ::tcsetattr(descriptor, TCSANOW, &now);
}

KeyReader::~KeyReader() {
    if (before_) ::tcsetattr(descriptor_, TCSANOW, &*before_);
}

std::optional<char> KeyReader::poll() {
    if (ended_) return std::nullopt;
    pollfd waiting{descriptor_, POLLIN, 0};
    if (::poll(&waiting, 1, 0) <= 0) return std::nullopt;
    char key = 0;
    const ssize_t got = ::read(descriptor_, &key, 1);
    if (got == 1) return key;
    ended_ = got == 0;
    return std::nullopt;
}

}  // namespace skedlark::cli
