// A person's sending from week to week, as text of 80 columns and as JSON Lines.
//
// Stage:   cli. In: log::WeekOfSending. Out: text; sending_week events of docs/file-formats.md.
// Units:   as WeekOfSending.
// Errors:  none; what was not measured is "n/a" or null.
// Threads: none.
// Checked: tests/cli/trend_view_test.cpp, log_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/log/sending_trend.h"

namespace skedlark::cli {

[[nodiscard]] std::string trend_text(const std::vector<log::WeekOfSending>& weeks,
                                     const std::string& who);
[[nodiscard]] std::string trend_json(const std::vector<log::WeekOfSending>& weeks);

}  // namespace skedlark::cli
