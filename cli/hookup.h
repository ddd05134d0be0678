// Listens for some seconds and says whether the set is joined well.
//
// Stage:   cli. In: a source. Out: the verdict printed, and whether it is good.
// Errors:  those of the source and of audio::check_hookup.
// Threads: one.
// Checked: tests/cli/devices_test.cpp
#pragma once

#include "cli/options.h"
#include "cli/output.h"

namespace skedlark::cli {

struct HookupOptions {
    InputOptions input;  // live, or one file
    double seconds = 5.0;
    bool json = false;
};

// True: level good and no hum that matters.
[[nodiscard]] Result<bool> check_input(const HookupOptions& options, Output& out);

}  // namespace skedlark::cli
