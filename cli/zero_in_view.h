// What skedlark sweep tells on the way back to a station, and of the marks that are still to be
// pressed.
//
// Stage:   cli. In: the guide, the marks. Out: lines of at most 79 columns, JSON Lines as
//          docs/file-formats.md lists them.
// Units:   begins_s: seconds of the input before the guide's first sample.
// Errors:  none.
// Threads: none.
// Checked: tests/cli/zero_in_view_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/dial/pressed_marks.h"
#include "dsp/watch/zero_in_guide.h"

namespace skedlark::cli {

[[nodiscard]] std::string zero_in_line(const watch::ZeroInGuide& guide);
[[nodiscard]] std::string zero_in_json(const std::vector<watch::ZeroInTold>& told, double begins_s);

// "press space at 41   last 40 at 0:12, 2.1 divisions a minute"
[[nodiscard]] std::string marks_prompt(const dial::PressedMarks& marks);
// Space bar or return: a mark; backspace takes one back. True where the marks changed.
bool press(dial::PressedMarks& marks, char key, double at_s);

}  // namespace skedlark::cli
