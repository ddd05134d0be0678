// How a person's sending went from week to week: score, speed, faults, characters.
//
// Stage:   log. In: entries in any order. Out: WeekOfSending, in order of time.
// Units:   score 0 to 100; words a minute; counts.
// Shape:   weeks begin on Monday 00:00 UTC (ISO 8601); a week without sending is left out, as is what
//          is no sending. All entries count as one person's: choose them by who.
// Errors:  none; what was not measured is NaN.
// Threads: pure.
// Source:  ISO 8601 for the week.
// Checked: tests/dsp/log/sending_trend_test.cpp
#pragma once

#include <map>
#include <span>
#include <string>
#include <vector>

#include "dsp/log/sending_entry.h"

namespace skedlark::log {

struct WeekOfSending {
    UtcTime monday{};
    int attempts = 0;
    int tests = 0;                     // of them, of the fixed text
    double seconds = 0.0;              // heard
    double score = kNotMeasured;       // mean over the attempts
    double test_score = kNotMeasured;  // mean over the tests
    double overall_wpm = kNotMeasured;
    std::map<std::string, int> faults{};  // by name: attempts that have it
    KeyedCharacters characters{};
};

[[nodiscard]] UtcTime monday_of(UtcTime time);
[[nodiscard]] std::vector<WeekOfSending> sending_trend(std::span<const Entry> entries);

// Of all weeks together, the hardest first: by faulty over keyed with one fault in ten keyed counted
// in beforehand, so that one slip of a rare character does not lead; then by rhythm.
[[nodiscard]] std::vector<std::string> hardest_characters(std::span<const WeekOfSending> weeks);
// Fault names that occur, the most frequent first.
[[nodiscard]] std::vector<std::string> faults_met(std::span<const WeekOfSending> weeks);

}  // namespace skedlark::log
