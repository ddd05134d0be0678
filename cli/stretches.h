// Two stretches of a recording, read and compared.
//
// Stage:   cli. In: a file, two stretches, the pitch. Out: ComparisonResult.
// Units:   seconds from the file's start; "1:40", "0:01:40" or "100".
// Errors:  invalid_value naming option, value and what is allowed; those of dsp/audio.
// Threads: none.
// Checked: tests/cli/log_test.cpp
#pragma once

#include <string>

#include "cli/log_view.h"
#include "dsp/core/result.h"

namespace skedlark::cli {

inline constexpr double kLongestStretchS = 3600.0;

// "0:10-1:40"; option: whose value it is.
[[nodiscard]] Result<Stretch> parse_stretch(const std::string& option, const std::string& text);
[[nodiscard]] Result<ComparisonResult> compare_stretches(const std::string& file, double pitch_hz,
                                                         const Stretch& first,
                                                         const Stretch& second);

}  // namespace skedlark::cli
