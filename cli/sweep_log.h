// What a sweep puts into the log.
//
// Stage:   cli. In: what the sweep told. Out: measurements and stations of the watch's entry.
// Errors:  those of the log, told by it.
// Threads: none.
// Checked: tests/cli/log_test.cpp
#pragma once

#include "cli/sweep_view.h"
#include "cli/watch_log.h"

namespace skedlark::cli {

void note_sweep(WatchLog& log, const SweepTold& told);

}  // namespace skedlark::cli
