#include "cli/status_line.h"

namespace skedlark::cli {
namespace {

constexpr std::string_view kToTheLeft = "\r";
constexpr std::string_view kClearToTheRight = "\x1b[K";

}  // namespace

void StatusLine::show(std::string_view line) {
    if (!can_redraw_) return;
    out_.write(kToTheLeft);
    out_.write(line);
    out_.write(kClearToTheRight);
    out_.flush();
    shown_ = true;
}

void StatusLine::clear() {
    if (!shown_) return;
    out_.write(kToTheLeft);
    out_.write(kClearToTheRight);
    out_.flush();
    shown_ = false;
}

}  // namespace skedlark::cli
