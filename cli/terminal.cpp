#include "cli/terminal.h"

#include <sys/ioctl.h>
#include <unistd.h>

#include <cstdlib>
#include <string_view>

namespace skedlark::cli {

namespace {
constexpr int kNarrowest = 20;  // columns; below this, words would be broken more than kept
}

Terminal terminal_at(int descriptor) {
    Terminal terminal;
    if (::isatty(descriptor) == 0) {
        return terminal;
    }
    terminal.is_terminal = true;
    const char* kind = std::getenv("TERM");
    terminal.can_redraw = kind != nullptr && *kind != '\0' && std::string_view(kind) != "dumb";
    winsize size{};
    if (::ioctl(descriptor, TIOCGWINSZ, &size) == 0 && size.ws_col > 0) {
        terminal.width = size.ws_col < kNarrowest ? kNarrowest : size.ws_col;
    }
    return terminal;
}

}  // namespace skedlark::cli
