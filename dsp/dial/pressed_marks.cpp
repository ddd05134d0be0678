#include "dsp/dial/pressed_marks.h"

#include <algorithm>
#include <cmath>

namespace skedlark::dial {

namespace {

// What a hand is followed at where it says nothing of its pace, hertz a second.
constexpr double kSlowestHzPerS = 250.0;
constexpr double kFastestHzPerS = 5000.0;
// About a pace that is named; a hand that looks for division lines is less even than one that follows.
constexpr double kPressSlower = 0.5;
constexpr double kPressFaster = 2.0;

}  // namespace

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

bool PressedMarks::mark(double at_s) {
    if (done() || (!marks_.empty() && at_s <= marks_.back().at_s)) return false;
    marks_.push_back({at_s, divs_[marks_.size()]});
    return true;
}

bool PressedMarks::take_back() {
    if (marks_.empty()) return false;
    marks_.pop_back();
    return true;
}

std::optional<double> PressedMarks::next() const {
    if (done()) return std::nullopt;
    return divs_[marks_.size()];
}

std::optional<double> PressedMarks::pace_div_per_min() const {
    if (marks_.size() < 2) return std::nullopt;
    const DialMark& last = marks_.back();
    const DialMark& before = marks_[marks_.size() - 2];
    return 60.0 * std::abs(last.div - before.div) / (last.at_s - before.at_s);
}

Motion::Paces pressed_paces(const Dial& dial, double from_div, double to_div,
                            std::optional<double> pace_div_per_min) {
    Motion::Paces paces;
    paces.low_div = std::min(from_div, to_div);
    paces.high_div = std::max(from_div, to_div);
    if (pace_div_per_min) {
        paces.slowest_div_per_s = kPressSlower * *pace_div_per_min / 60.0;
        paces.fastest_div_per_s = kPressFaster * *pace_div_per_min / 60.0;
        return paces;
    }
    const double hz_per_div =
        1000.0 * std::abs(dial.khz_per_div(0.5 * (paces.low_div + paces.high_div)));
    paces.slowest_div_per_s = kSlowestHzPerS / hz_per_div;
    paces.fastest_div_per_s = kFastestHzPerS / hz_per_div;
    return paces;
}

}  // namespace skedlark::dial
