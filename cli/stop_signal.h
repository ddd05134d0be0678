// Ctrl-C and TERM as a request to end cleanly; a second one ends the program at once.
//
// Stage:   cli.
// Errors:  none.
// Threads: the handler only sets a lock-free flag and calls request_stop() of the source being
//          read, which is made for that.
// Checked: tests/cli/live_test.cpp
#pragma once

#include "dsp/audio/source.h"

namespace skedlark::cli {

// While one of these lives, the signals stop `source`.
class StopOnSignal {
 public:
    explicit StopOnSignal(audio::Source& source);
    StopOnSignal(const StopOnSignal&) = delete;
    StopOnSignal& operator=(const StopOnSignal&) = delete;
    ~StopOnSignal();
};

// A signal came, now or before.
[[nodiscard]] bool stop_signal_seen() noexcept;

}  // namespace skedlark::cli
