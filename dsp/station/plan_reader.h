// Reads a plan file.
//
// Stage:   station. In: TOML as docs/file-formats.md lists it. Out: Plan, every name in it known.
// Units:   as in the names of the fields.
// Shape:   at most 1 MiB.
// Errors:  not_found, unreadable; damaged (not TOML); invalid_value naming file, line, field, value
//          and what is allowed.
// Threads: all functions are pure.
// Source:  none
// Checked: tests/dsp/station/plan_reader_test.cpp
#pragma once

#include <string>
#include <string_view>

#include "dsp/core/result.h"
#include "dsp/station/plan.h"

namespace skedlark::station {

inline constexpr double kMinKhz = 100.0;
inline constexpr double kMaxKhz = 60000.0;
inline constexpr long kMaxDurationMin = 24 * 60;
// Within this much of what is asked for, a crystal serves a frequency.
inline constexpr double kCrystalReachKhz = 0.5;

// What a plan says that does not say it. Warm-up: one report of 1.8 to 3 kHz in the first five
// minutes and under 100 Hz after twenty (broadcast valve sets, anecdotal); sending a quarter of a
// contact and the kit are choices of this project.
inline constexpr long kDefaultWarmUpMin = 20;
inline constexpr double kDefaultSendingShare = 0.25;

[[nodiscard]] Result<Plan> read_plan(const std::string& path);
[[nodiscard]] Result<Plan> read_plan_text(std::string_view text, const std::string& name);

}  // namespace skedlark::station
