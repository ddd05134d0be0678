// Faults by name, with their evidence and what to do; those of the hand told from the transmitter's.
//
// Stage:   fist. In: what was measured of one sending. Out: Fault list, the gravest first.
// Units:   seconds from the audio's start; shares 0 to 1.
// Shape:   any sending; fewer than some twenty marks name nothing that needs statistics.
// Time:    at_s is where the fault first shows plainly.
// Errors:  none.
// Threads: pure.
// Source:  an oscillator slow to start cuts a piece off the front of every mark, of another length each
//          time: marks are short by as much as the gaps before them are long, and dashes by no more
//          than dots. A hand that is uneven does not tie a mark to the gap before it. Limits are
//          this project's own choice, tried on seeds below 1000.
// Checked: tests/dsp/fist/faults_test.cpp; confusion by tests/accuracy/fist
#pragma once

#include <string>
#include <vector>

#include "dsp/fist/alignment.h"
#include "dsp/fist/note_quality.h"
#include "dsp/fist/start_lag.h"
#include "dsp/fist/statistics.h"

namespace skedlark::fist {

enum class FaultKind {
    dots_clipped,    // transmitter: starts late, dots short or missing
    first_late,      // transmitter: the first element after a rest starts late
    contact_bounce,  // key
    dash_short,      // hand, from here on
    gaps_closed,
    gaps_stretched,
    speed_runs_away,
    uneven_dots,  // semi-automatic key
    chirp,        // transmitter
    hum,
};
inline constexpr int kFaultKinds = 10;
[[nodiscard]] std::string_view name_of(FaultKind kind);
[[nodiscard]] bool is_of_hand(FaultKind kind);

struct Fault {
    FaultKind kind = FaultKind::dots_clipped;
    double at_s = 0.0;
    std::string said;    // what was measured, one sentence
    std::string advice;  // what to do, one or two
};

struct Judged {
    const Keying& keying;
    const Sending& sending;
    const Statistics& statistics;
    const FineBaseband* tone = nullptr;    // null: nothing is said of the note
    const Alignment* alignment = nullptr;  // null: the text is not known
    bool of_key = false;                   // the marks are the key's own, no transmitter's
};
[[nodiscard]] std::vector<Fault> find_faults(const Judged& judged);

}  // namespace skedlark::fist
