// Ticks of a time signal as the operator gives them: a list in a file, or a key pressed at each.
//
// Stage:   cli. In: lines. Out: station::Tick.
// Shape:   a time by this machine's clock in each line, "minute" behind it where the tick began a
//          minute; empty lines and what follows "#" are passed over.
// Errors:  invalid_value naming the file and line.
// Threads: none.
// Checked: tests/cli/sked_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/station/clock_offset.h"

namespace skedlark::cli {

[[nodiscard]] Result<std::vector<station::Tick>> read_ticks(const std::string& path);
// Each line on standard input is a tick at the moment it is ended ("m" for a minute's first one),
// until it ends or a line says "q".
[[nodiscard]] std::vector<station::Tick> tap_ticks();

}  // namespace skedlark::cli
