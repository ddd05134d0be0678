// One sending graded: from its sound (tone found and followed, marks measured), or from the marks of the
// key itself.
//
// Stage:   fist. In: work-rate audio of a whole sending, or its Keying. Out: Grade.
// Units:   hertz; seconds from the audio's start; SNR in 2500 Hz with the key down.
// Shape:   from some seconds on; two hours at most are meant.
// Time:    about a hundredth of the audio's length.
// Errors:  not_found: no keyed tone, none near the pitch told, too few marks to tell a hand.
// Threads: pure.
// Source:  the parts name theirs.
// Checked: tests/dsp/fist/grading_test.cpp
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "dsp/fist/faults.h"
#include "dsp/fist/score.h"

namespace skedlark::fist {

// Keyed tones nearer to the strongest in level than this are another sender, not its splatter.
inline constexpr double kAnotherSenderDb = 20.0;
inline constexpr double kAnotherSenderHz = 30.0;
inline constexpr double kPitchReachHz = 50.0;  // from the pitch told

struct GradeOptions {
    std::optional<double> pitch_hz;                  // which tone, where there are several
    std::optional<double> speed_wpm;                 // where it is known; within a third
    std::vector<std::optional<morse::Symbol>> text;  // empty: not known
    std::vector<LostStretch> lost;
};

struct HeardTone {
    double pitch_hz = 0.0;
    double snr_2500hz_db = 0.0;
};

struct Grade {
    double seconds = 0.0;  // of the audio
    double pitch_hz = 0.0;
    double pitch_drift_hz_per_min = 0.0;
    std::vector<HeardTone> others;  // keyed as well, another sender's
    Keying keying;
    Sending sending;
    Statistics statistics;
    std::optional<Alignment> alignment;
    std::vector<Fault> faults;
    Score score;
    double sent_s = 0.0;     // from the first mark to the end of the last, without pauses
    double certainty = 0.0;  // mean odds of the gaps' kinds, 0 to 1

    // As a listener would write it.
    [[nodiscard]] std::string text() const { return text_of(sending); }
    // The text was sent right; true where none is known.
    [[nodiscard]] bool right() const { return !alignment || alignment->all_right(); }
};

// Keyed tones of a recording, strongest first.
[[nodiscard]] std::vector<HeardTone> keyed_tones(std::span<const float> audio);
[[nodiscard]] Result<Grade> grade(std::span<const float> audio, const GradeOptions& options);
// Of a key without a transmitter: no pitch (NaN), no others, and only faults of hand and key. Of the
// options text and speed_wpm count.
[[nodiscard]] Result<Grade> grade_key(Keying keying, const GradeOptions& options);

// Of a tone's marks that were measured already; pitch and lost stretches of the options mean nothing
// here. Of the note nothing is said, seconds end with the last mark. not_found: too few marks to tell a hand.
[[nodiscard]] Result<Grade> grade_marks(Keying keying, const GradeOptions& options);

}  // namespace skedlark::fist
