#include "cli/pressed_marks.h"

#include <fmt/format.h>

#include "cli/text_view.h"

namespace skedlark::cli {

bool press(dial::PressedMarks& marks, char key, double at_s) {
    constexpr char kBackspace = '\b';
    constexpr char kDelete = '\x7f';  // what most terminals send for backspace
    if (key == kBackspace || key == kDelete) return marks.take_back();
    if (key != ' ' && key != '\n' && key != '\r') return false;
    return marks.mark(at_s);
}

std::string prompt_for(const dial::PressedMarks& marks) {
    if (marks.done()) return fmt::format("division {:g} was the last", marks.divs().back());
    std::string text = fmt::format("press space at {:g}", *marks.next());
    if (marks.marks().empty()) return text;
    const dial::DialMark& last = marks.marks().back();
    text += fmt::format("   last {:g} at {}", last.div, clock_text(last.at_s));
    const auto pace = marks.pace_div_per_min();
    return pace ? text + fmt::format(", {:.1f} divisions a minute", *pace) : text;
}

}  // namespace skedlark::cli
