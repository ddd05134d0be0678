// Divisions marked by key as the dial passes them.
//
// Stage:   cli. In: keys with their times. Out: marks.
// Units:   seconds of audio, divisions.
// Shape:   the space bar (or return) is the next division: the first where the sweep starts, then each
//          whole one on the way, the last where it ends. Backspace takes the last mark back.
// Errors:  none.
// Threads: values.
// Checked: tests/cli/pressed_marks_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/dial/motion.h"

namespace skedlark::cli {

class PressedMarks {
 public:
    PressedMarks(double from_div, double to_div);

    // True where the marks changed.
    bool press(char key, double at_s);
    [[nodiscard]] const std::vector<dial::DialMark>& marks() const { return marks_; }
    [[nodiscard]] bool done() const { return marks_.size() == divs_.size(); }
    // "press space at 41   last 40 at 0:12, 2.1 divisions a minute"
    [[nodiscard]] std::string prompt() const;

 private:
    std::vector<double> divs_;
    std::vector<dial::DialMark> marks_;
};

}  // namespace skedlark::cli
