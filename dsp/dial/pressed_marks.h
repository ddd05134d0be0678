// Divisions marked by hand as the dial passes them.
//
// Stage:   dial. In: the moments of the marks. Out: marks with their divisions, the one due next.
// Units:   seconds of audio, divisions; divisions a minute.
// Shape:   the first mark is where the sweep starts, then comes each whole division on the way, the
//          last is where it ends.
// Time:    a mark must be later than the one before.
// Errors:  none.
// Threads: values.
// Source:  none
// Checked: tests/dsp/dial/pressed_marks_test.cpp
#pragma once

#include <optional>
#include <vector>

#include "dsp/dial/dial.h"
#include "dsp/dial/motion.h"

namespace skedlark::dial {

class PressedMarks {
 public:
    PressedMarks(double from_div, double to_div);

    // False where it is no mark: no later than the one before, or the last is set.
    bool mark(double at_s);
    // The last mark; false where there is none.
    bool take_back();
    [[nodiscard]] const std::vector<DialMark>& marks() const { return marks_; }
    [[nodiscard]] const std::vector<double>& divs() const { return divs_; }  // all that are due
    [[nodiscard]] bool done() const { return marks_.size() == divs_.size(); }
    // The division to mark next; empty after the last.
    [[nodiscard]] std::optional<double> next() const;
    // Between the last two marks.
    [[nodiscard]] std::optional<double> pace_div_per_min() const;

 private:
    std::vector<double> divs_;
    std::vector<DialMark> marks_;
};

// What to expect of a hand that marks divisions between two places, about a pace it aims at; without
// one, of any that a station can be found at.
[[nodiscard]] Motion::Paces pressed_paces(const Dial& dial, double from_div, double to_div,
                                          std::optional<double> pace_div_per_min);

}  // namespace skedlark::dial
