// What the pipeline tells: plain structs with a time in work-rate frames (units.h) from the input's
// start. Every surface (text, JSON Lines, desk, log) prints these same events.
//
// Stage:   core.
// Shape:   one Event a message, in order of the time they become known.
// Threads: values; pass by copy or move.
#pragma once

#include <optional>
#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "dsp/core/units.h"

namespace skedlark {

// A tone was found, or its verdict (keyed or not) changed.
struct ToneEvent {
    int tone = 0;  // counts from 1; the same number in all events of one tone
    FrameIndex at_frame = 0;
    double pitch_hz = 0.0;
    std::optional<bool> keyed;      // empty: unknown
    double snr_2500hz_db = 0.0;     // key-down
    double false_alarm_odds = 0.0;  // chance that noise alone gives a tone as clear as this, 0 to 1
};

// A character or word gap (text " "), from the start of its first mark to the end of its last.
struct CharEvent {
    int tone = 0;
    FrameIndex from_frame = 0;
    FrameIndex to_frame = 0;
    std::string text;  // "A", " ", "_" (open mark), or the letters of a procedure signal, "AR"
    bool procedure = false;   // text is a procedure signal
    bool final = true;        // false: shown as heard, may still change; a final one replaces it
    double confidence = 0.0;  // posterior, 0 to 1
    std::vector<std::pair<std::string, double>> others;  // next likeliest readings, likeliest first
    // What was heard alone says here, with its gap between words, where knowledge of the text made
    // another reading of it; "" where it says nothing.
    std::optional<std::string> unaided{};
};

// The pitch jumped (the set was knocked) or moved by more than a few hertz.
struct PitchMovedEvent {
    int tone = 0;
    FrameIndex at_frame = 0;
    double from_hz = 0.0;
    double to_hz = 0.0;
};

// An expected call was sent, whether it could be read or not.
struct CallEvent {
    int tone = 0;
    FrameIndex at_frame = 0;  // when that became sure
    std::string call;
    double log_odds = 0.0;  // natural logarithm: that it was this call rather than anything else
    double speed_wpm = 0.0;
};

// The operator's own transmitter was keyed.
struct SendingEvent {
    FrameIndex from_frame = 0;
    FrameIndex to_frame = 0;
};

// Audio that never arrived: overflow, device gone, damaged stretch of a file.
struct AudioLostEvent {
    FrameIndex from_frame = 0;
    FrameIndex to_frame = 0;  // equal to from_frame where the length is not known
    std::string reason;
};

// Anything the operator should read: level too low, device back, recorder stopped.
struct NoteEvent {
    FrameIndex at_frame = 0;
    std::string text;
};

// Lengths of the marks and gaps as sent; seconds. NaN where nothing was measured.
struct TimingSummary {
    double dot_s, dash_s, element_gap_s, character_gap_s, word_gap_s;
    double dash_to_dot, dot_cv, dash_cv, element_gap_cv, character_gap_cv;
    int marks = 0;
};

struct ToneSummary {
    int tone = 0;
    double pitch_hz = 0.0;
    double pitch_drift_hz_per_min = 0.0;
    double snr_2500hz_db = 0.0;
    double speed_wpm = 0.0;  // 0 where nothing was copied
    std::string text;
    double mean_confidence = 0.0;
    TimingSummary timing{};
};

struct SummaryEvent {
    double seconds = 0.0;
    std::vector<ToneSummary> tones;  // likeliest wanted first
};

using Event = std::variant<ToneEvent, CharEvent, CallEvent, PitchMovedEvent, SendingEvent,
                           AudioLostEvent, NoteEvent, SummaryEvent>;

}  // namespace skedlark
