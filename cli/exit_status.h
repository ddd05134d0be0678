// What the program says to the shell when it ends.
//
// Stage:   cli. In: library errors. Out: exit statuses.
// Errors:  none.
// Threads: none.
// Checked: tests/cli/bad_input_test.cpp
#pragma once

#include "dsp/core/result.h"

namespace skedlark::cli {

enum ExitStatus : int {
    kDone = 0,      // done, and the answer is yes
    kAnswerNo = 1,  // done, but the answer is no: nothing found, no text copied, a check failed
    kCannot = 2,    // usage, unreadable or damaged input, output that cannot be opened
    kCutShort = 3,  // cut short from outside; what was had is kept
};

[[nodiscard]] constexpr ExitStatus exit_status(ErrorCode code) {
    switch (code) {
        case ErrorCode::device_lost:
        case ErrorCode::disk_full:
            return kCutShort;
        default:
            return kCannot;
    }
}

// Several inputs, one status: an input that could not be read outweighs one cut short, that one a
// yes, and a yes a no.
[[nodiscard]] constexpr ExitStatus worse(ExitStatus a, ExitStatus b) {
    constexpr int kWeight[] = {1, 0, 3, 2};
    return kWeight[a] >= kWeight[b] ? a : b;
}

}  // namespace skedlark::cli
