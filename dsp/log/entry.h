// One entry of the log: a watch now, practice and bench sheets as well.
//
// Stage:   log. Into and out of the log book.
// Units:   hertz, decibels, words a minute, seconds; shares 0 to 1; instants of UTC.
// Shape:   text is UTF-8; a number that was not measured is NaN.
// Errors:  none.
// Threads: values.
// Source:  none
// Checked: tests/dsp/log/log_book_test.cpp
#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <vector>

#include "dsp/core/utc.h"

namespace skedlark::log {

inline constexpr double kNotMeasured = std::numeric_limits<double>::quiet_NaN();

// Kinds and outcomes are words, so that new ones need no new schema.
inline constexpr const char* kWatch = "watch";
inline constexpr const char* kPractice = "practice";
inline constexpr const char* kBench = "bench";

inline constexpr const char* kOpen = "open";      // going on, or ended without a word
inline constexpr const char* kCopied = "copied";  // text was read
inline constexpr const char* kHeard = "heard";    // a keyed tone, but no text
inline constexpr const char* kMissed = "missed";  // nothing keyed was heard

struct HeardStation {
    int tone = 0;
    double pitch_hz = kNotMeasured;
    std::optional<bool> keyed{};
    double snr_2500hz_db = kNotMeasured;
    double speed_wpm = kNotMeasured;
    double confidence = kNotMeasured;
    double false_alarm_odds = kNotMeasured;
    std::string text{};
};

// Anything with a number: what a watch, an exercise or a bench test measured.
struct Measurement {
    std::string name;  // "sinad_db", "audio_lost_s"
    double value = kNotMeasured;
    double uncertainty_95 = kNotMeasured;
    double limit = kNotMeasured;
    std::optional<bool> pass{};
};

struct Entry {
    std::int64_t id = 0;  // given by the log book
    std::string kind = kWatch;
    UtcTime started{};
    double seconds = kNotMeasured;
    std::string who{};      // operator, trainee
    std::string contact{};  // of the plan
    std::string receiver{};
    std::string input{};      // file or device
    std::string recording{};  // folder or file of what was heard
    std::string outcome = kOpen;
    std::string reason{};  // why it was missed
    std::string note{};    // the operator's own words
    std::vector<HeardStation> stations{};
    std::vector<Measurement> measurements{};
};

}  // namespace skedlark::log
