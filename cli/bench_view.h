// Results of the bench as text of 80 columns.
//
// Stage:   cli. In: a sheet of the bench. Out: text.
// Units:   those of the measurement's name; a value is shown as finely as its uncertainty means.
// Errors:  none.
// Threads: none.
// Checked: tests/cli/bench_test.cpp
#pragma once

#include <string>

#include "dsp/bench/sheet.h"

namespace skedlark::cli {

[[nodiscard]] std::string bench_text(const bench::Sheet& sheet);

// Broken at spaces to lines no longer than width; further lines begin with `indent` spaces.
[[nodiscard]] std::string wrapped_text(const std::string& text, std::size_t width,
                                       std::size_t indent);

}  // namespace skedlark::cli
