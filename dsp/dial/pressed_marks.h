// Divisions marked by key as the dial passes them.
//
// Stage:   dial. In: times at which the operator says that the next mark is passed. Out: marks.
// Units:   seconds of audio, divisions.
// Shape:   the first mark is where the sweep starts, then each whole division on the way, the last
//          where it ends.
// Time:    none of its own.
// Errors:  none.
// Threads: values.
// Source:  none; the paces are common practice, no source.
// Checked: tests/dsp/dial/pressed_marks_test.cpp
#pragma once

#include <optional>
#include <vector>

#include "dsp/dial/dial.h"
#include "dsp/dial/motion.h"

namespace skedlark::dial {

// What a hand is followed at where it says nothing of its pace, and what is advised: slower is hard to
// keep even, faster too short to be heard.
inline constexpr double kSlowestHandHzPerS = 250.0;
inline constexpr double kFastestHandHzPerS = 5000.0;

class PressedMarks {
 public:
    PressedMarks(double from_div, double to_div);

    // The dial passes next_div() now. False, and no mark, where all are made or time did not rise.
    bool mark(double at_s);
    // Takes the last one back; false where there is none.
    bool take_back();

    [[nodiscard]] const std::vector<DialMark>& marks() const { return marks_; }
    [[nodiscard]] bool done() const { return marks_.size() == divs_.size(); }
    [[nodiscard]] std::optional<double> next_div() const;  // empty once done
    [[nodiscard]] double last_div() const { return divs_.back(); }
    // Between the last two marks.
    [[nodiscard]] std::optional<double> div_per_min() const;

 private:
    std::vector<double> divs_;
    std::vector<DialMark> marks_;
};

// What to expect of a hand that marks divisions by key, at about the pace that is named if one is.
[[nodiscard]] Motion::Paces pressed_paces(const Dial& dial, double from_div, double to_div,
                                          std::optional<double> div_per_min);

}  // namespace skedlark::dial
