// Writes a plan as the file that the reader reads.
//
// Stage:   station. In: Plan. Out: TOML as docs/file-formats.md lists it; a file.
// Units:   as in the names of the fields.
// Shape:   plan_reader reads the text back as the same plan. What all contacts take along is the
//          plan's kit, the rest each contact's own; a battery is written in hours.
// Errors:  save_plan_text(): those of the reader, and disk_full or write_failed; what stood there
//          before is kept then.
// Threads: all functions are pure but save_plan_text().
// Source:  TOML 1.0 for strings, dates and times.
// Checked: tests/dsp/station/plan_writer_test.cpp
#pragma once

#include <string>
#include <string_view>

#include "dsp/core/result.h"
#include "dsp/station/plan.h"

namespace skedlark::station {

[[nodiscard]] std::string plan_toml(const Plan& plan);
// The rule as parse_repeat() reads it: "every 90 min", "Mon Wed Fri".
[[nodiscard]] std::string repeat_text(const Repeat& repeat);
// Only a text that is a plan is saved. Gives the plan as it is read from there.
[[nodiscard]] Result<Plan> save_plan_text(const std::string& path, std::string_view toml);

}  // namespace skedlark::station
