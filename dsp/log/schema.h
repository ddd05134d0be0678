// The tables of the log, and how an older log is brought up to date.
//
// Stage:   log. In: an open data base. Out: the same, of the version that is known here.
// Shape:   each step brings the schema from one version to the next; PRAGMA user_version counts.
// Time:    all steps in one transaction: after a failure the file is as it was.
// Errors:  unsupported: a newer log, or a data base of something else; damaged; as the data base.
// Threads: as the data base.
// Source:  none
// Checked: tests/dsp/log/schema_test.cpp
#pragma once

#include <span>
#include <string_view>

#include "dsp/core/result.h"
#include "dsp/log/database.h"

namespace skedlark::log {

// "SKLG": marks the file as ours (PRAGMA application_id).
inline constexpr std::int64_t kApplicationId = 0x534B4C47;

// SQL of each step; a new version appends one, and changes none of those before.
[[nodiscard]] std::span<const std::string_view> schema_steps();
[[nodiscard]] inline int schema_version() { return static_cast<int>(schema_steps().size()); }

// Version of a log; 0 for a new, empty file.
[[nodiscard]] Result<int> version_of(const Database& database, int known = schema_version());
Status migrate(const Database& database, std::span<const std::string_view> steps = schema_steps());

}  // namespace skedlark::log
