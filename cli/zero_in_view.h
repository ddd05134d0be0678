// What skedlark sweep tells on the way back to a station: a line to look at, and JSON Lines.
//
// Stage:   cli. In: the guide, its steps. Out: text of at most 79 columns; events as
//          docs/file-formats.md lists them.
// Units:   seconds from the input's start.
// Errors:  none.
// Threads: none.
// Checked: tests/cli/zero_in_view_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/watch/zero_in_guide.h"

namespace skedlark::cli {

[[nodiscard]] std::string zero_in_line(const watch::ZeroInGuide& guide);
// begins_s: of the input, where the guide's first sample stands.
[[nodiscard]] std::string zero_in_json(const std::vector<watch::ZeroInStep>& steps,
                                       double begins_s);

}  // namespace skedlark::cli
