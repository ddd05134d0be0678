// The lengths of an operator's own hand, out of a result of `skedlark copy --json`.
//
// Stage:   cli. In: JSON Lines with a summary. Out: station::HandLengths of its first tone.
// Errors:  damaged: no JSON, no summary, no lengths in it; naming the file.
// Threads: none.
// Checked: tests/cli/sked_test.cpp
#pragma once

#include <string>

#include "dsp/core/result.h"
#include "dsp/station/air_time.h"

namespace skedlark::cli {

[[nodiscard]] Result<station::HandLengths> hand_from_result(const std::string& path);

}  // namespace skedlark::cli
