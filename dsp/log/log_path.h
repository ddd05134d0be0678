// Where the log is.
//
// Stage:   log. In: the environment, or a file told. Out: a path.
// Shape:   $XDG_DATA_HOME/skedlark/log.db, or ~/.local/share/skedlark/log.db.
// Errors:  not_found where neither XDG_DATA_HOME nor HOME is known; write_failed where its folder
//          cannot be made.
// Threads: reads the environment: not beside a setenv().
// Source:  XDG Base Directory Specification
// Checked: tests/dsp/log/log_path_test.cpp
#pragma once

#include <string>

#include "dsp/core/result.h"

namespace skedlark::log {

[[nodiscard]] Result<std::string> default_log_path();
// The file told, or where it is "" the default one, whose folders are made where missing.
[[nodiscard]] Result<std::string> log_path_for_writing(const std::string& file);

}  // namespace skedlark::log
