// Where a person's exercises are: the log, read and added to.
//
// Stage:   cli. In: a log file, who. Out: log::PracticeRecord; one more entry.
// Errors:  those of the log book; a log that is not there yet has no exercises.
// Threads: none.
// Checked: tests/cli/drill_test.cpp
#pragma once

#include <string>

#include "dsp/core/result.h"
#include "dsp/log/practice_record.h"

namespace skedlark::cli {

[[nodiscard]] Result<log::PracticeRecord> earlier_exercises(const std::string& log_file,
                                                            const std::string& who);

Status keep_exercise(const std::string& log_file, const log::Entry& entry);

}  // namespace skedlark::cli
