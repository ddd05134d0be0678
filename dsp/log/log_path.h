// Where the log is: one place for all surfaces.
//
// Stage:   log. In: the environment, a file a person names. Out: paths.
// Units:   none.
// Errors:  not_found where no place is known, write_failed where a folder cannot be made.
// Threads: none.
// Source:  XDG Base Directory Specification
// Checked: tests/dsp/log/log_path_test.cpp
#pragma once

#include <string>

#include "dsp/core/result.h"

namespace skedlark::log {

// $XDG_DATA_HOME/skedlark/log.db, or ~/.local/share/skedlark/log.db. not_found where neither is known.
[[nodiscard]] Result<std::string> default_log_path();
// The file named, or the default one; folders of the default one are made where missing.
[[nodiscard]] Result<std::string> log_path_for_writing(const std::string& file);
// A log outlives the folder one happens to be in.
[[nodiscard]] std::string whole_path(const std::string& path);

}  // namespace skedlark::log
