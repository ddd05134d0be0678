// How a hand sent: lengths and spreads, ratio and weight, speed and its drift, rhythm by character.
//
// Stage:   fist. In: Keying and Sending. Out: Statistics.
// Units:   seconds; speeds in words a minute by PARIS; cv is standard deviation over mean; rhythm in
//          units of this hand.
// Shape:   a number that was not measured is NaN.
// Time:    drift is the slope of a straight line over the whole message.
// Errors:  none.
// Threads: pure.
// Source:  ITU-R M.1677-1 (1, 3 and 1, 3, 7); 50-unit word PARIS. The variance of the edges' own
//          error is taken out of every spread (variances of independent errors add). Weight is the
//          share of a dot in dot and element gap: common practice, no source.
// Checked: tests/dsp/fist/statistics_test.cpp
#pragma once

#include <limits>
#include <map>
#include <string>
#include <vector>

#include "dsp/fist/sending.h"

namespace skedlark::fist {

struct LengthStatistics {
    int count = 0;
    double mean_s = std::numeric_limits<double>::quiet_NaN();
    double sd_s = std::numeric_limits<double>::quiet_NaN();        // of the hand alone
    double error_sd_s = std::numeric_limits<double>::quiet_NaN();  // of measuring one length
    [[nodiscard]] double cv() const { return sd_s / mean_s; }
};

// Marks at the beginning, within and at the end of characters of three or more; in units.
struct PositionStatistics {
    LengthStatistics first, middle, last;
};

struct CharacterRhythm {
    int count = 0;
    // Mean lengths in units, mark and element gap in turn; 1 or 3, and 1, in the standard.
    std::vector<double> units;
    double off_standard = 0.0;  // root mean square of ln(length over its standard)
};

struct Statistics {
    std::array<LengthStatistics, kKinds> lengths{};
    double unit_s = std::numeric_limits<double>::quiet_NaN();
    double dash_to_dot = std::numeric_limits<double>::quiet_NaN();
    double weight = std::numeric_limits<double>::quiet_NaN();  // 0.5 in the standard
    double character_wpm = std::numeric_limits<double>::quiet_NaN();
    double overall_wpm = std::numeric_limits<double>::quiet_NaN();  // with the gaps, without pauses
    // Of the speed of single characters: slope, its standard error, and what wanders besides.
    double drift_percent_per_min = std::numeric_limits<double>::quiet_NaN();
    double drift_error_percent_per_min = std::numeric_limits<double>::quiet_NaN();
    double drift_percent = std::numeric_limits<double>::quiet_NaN();  // from first to last
    double speed_cv = std::numeric_limits<double>::quiet_NaN();
    PositionStatistics dots, dashes;
    std::map<std::string, CharacterRhythm> rhythm;  // by character as written

    [[nodiscard]] const LengthStatistics& of(morse::ElementKind kind) const {
        return lengths[index_of(kind)];
    }
};

[[nodiscard]] Statistics statistics_of(const Keying& keying, const Sending& sending);

// "A", or "[AR]" for a procedure signal.
[[nodiscard]] std::string name_of(const SentCharacter& character);

}  // namespace skedlark::fist
