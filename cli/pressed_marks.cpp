#include "cli/pressed_marks.h"

#include <fmt/format.h>

#include <cmath>

#include "cli/text_view.h"

namespace skedlark::cli {

PressedMarks::PressedMarks(double from_div, double to_div) {
    divs_.push_back(from_div);
    if (to_div > from_div) {
        for (double div = std::floor(from_div) + 1.0; div < to_div; div += 1.0)
            divs_.push_back(div);
    } else {
        for (double div = std::ceil(from_div) - 1.0; div > to_div; div -= 1.0) divs_.push_back(div);
    }
    divs_.push_back(to_div);
}

bool PressedMarks::press(char key, double at_s) {
    constexpr char kBackspace = '\b';
    constexpr char kDelete = '\x7f';  // what most terminals send for backspace
    if (key == kBackspace || key == kDelete) {
        if (marks_.empty()) return false;
        marks_.pop_back();
        return true;
    }
    if ((key != ' ' && key != '\n' && key != '\r') || done()) return false;
    if (!marks_.empty() && at_s <= marks_.back().at_s) return false;
    marks_.push_back({at_s, divs_[marks_.size()]});
    return true;
}

std::string PressedMarks::prompt() const {
    if (done()) return fmt::format("division {:g} was the last", divs_.back());
    std::string text = fmt::format("press space at {:g}", divs_[marks_.size()]);
    if (marks_.empty()) return text;
    text += fmt::format("   last {:g} at {}", marks_.back().div, clock_text(marks_.back().at_s));
    if (marks_.size() < 2) return text;
    const dial::DialMark& before = marks_[marks_.size() - 2];
    const double pace =
        60.0 * std::abs(marks_.back().div - before.div) / (marks_.back().at_s - before.at_s);
    return text + fmt::format(", {:.1f} divisions a minute", pace);
}

}  // namespace skedlark::cli
