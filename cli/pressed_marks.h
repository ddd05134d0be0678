// Keys that mark divisions as the dial passes them, and what is asked for next.
//
// Stage:   cli. In: keys with their times. Out: changed marks; a line for the operator.
// Units:   seconds of audio, divisions.
// Shape:   the space bar (or return) is the next division; backspace takes the last mark back.
// Errors:  none.
// Threads: values.
// Checked: tests/cli/pressed_marks_test.cpp
#pragma once

#include <string>

#include "dsp/dial/pressed_marks.h"

namespace skedlark::cli {

// True where the marks changed.
bool press(dial::PressedMarks& marks, char key, double at_s);
// "press space at 41   last 40 at 0:12, 2.1 divisions a minute"
[[nodiscard]] std::string prompt_for(const dial::PressedMarks& marks);

}  // namespace skedlark::cli
