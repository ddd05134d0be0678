#include "dsp/fist/practice_level.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "dsp/core/units.h"
#include "dsp/fist/copy_score.h"
#include "dsp/morse/code_table.h"
#include "dsp/morse/timing.h"

namespace skedlark::fist {

namespace {

constexpr double kUnitsOfParis = 50.0;
constexpr int kLettersInGroup = 5;

// How steeply the log odds of a right character fall with the logarithm of the speed: a guess. Tried
// from 8 to 16 against simulated persons of 4 to 25; only how fast the level is found depends on it.
constexpr double kSteepness = 12.0;
constexpr double kForget = 0.8;  // from one attempt to the one before; tried 0 to 0.9
constexpr double kLeastWeightOfAttempt = 0.05;
constexpr double kPriorCharacters = 10.0;
constexpr double kLongestStep = 1.2;

// Expected at log level `at` of a person who has nine in ten at log level `ability`.
double share_at(double at, double ability) {
    const double log_odds =
        std::log(kWantedRight / (1.0 - kWantedRight)) - kSteepness * (at - ability);
    return 1.0 / (1.0 + std::exp(-log_odds));
}

double mean_letter_units() {
    double sum = 0.0;
    for (char c = 'A'; c <= 'Z'; ++c) {
        const morse::Symbol* symbol = morse::find_by_text(std::string(1, c));
        if (symbol != nullptr) sum += morse::units_of(symbol->elements);
    }
    return sum / 26.0;
}

}  // namespace

double units_of_a_group() {
    static const double kUnits = kLettersInGroup * mean_letter_units() +
                                 (kLettersInGroup - 1) * morse::kCharacterGapUnits +
                                 morse::kWordGapUnits;
    return kUnits;
}

double level_of_speed(double speed_wpm) { return speed_wpm * kUnitsOfParis / units_of_a_group(); }
double speed_of_level(double groups_a_minute) {
    return groups_a_minute * units_of_a_group() / kUnitsOfParis;
}
double lowest_level() { return level_of_speed(kMinSpeedWpm); }
double highest_level() { return level_of_speed(kMaxSpeedWpm); }

Result<Pace> pace_at(double groups_a_minute, double character_wpm) {
    // A level from a speed and back is that speed but for its last digit.
    constexpr double kSlack = 1e-9;
    if (!(groups_a_minute >= lowest_level() * (1.0 - kSlack) &&
          groups_a_minute <= highest_level() * (1.0 + kSlack))) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("level: {:.4g} groups a minute; allowed: {:.1f} to {:.1f} ({:g} to "
                        "{:g} words a minute)",
                        groups_a_minute, lowest_level(), highest_level(), kMinSpeedWpm,
                        kMaxSpeedWpm)};
    }
    if (!(character_wpm >= kMinSpeedWpm && character_wpm <= kMaxSpeedWpm)) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("speed of the characters: {:g} words a minute; allowed: {:g} to {:g}",
                        character_wpm, kMinSpeedWpm, kMaxSpeedWpm)};
    }
    const double level_wpm =
        std::clamp(speed_of_level(groups_a_minute), kMinSpeedWpm, kMaxSpeedWpm);
    if (character_wpm <= level_wpm) return Pace{level_wpm, level_wpm};
    // Gaps are stretched so that a group takes its time; the whole is then counted by PARIS, which has
    // the same gaps but shorter characters than the mean group.
    const double longer_s = (units_of_a_group() - kUnitsOfParis) * dit_s(character_wpm);
    return Pace{character_wpm, 60.0 / (60.0 / groups_a_minute - longer_s)};
}

double next_level(std::span<const LevelAttempt> attempts) {
    if (attempts.empty()) return kFirstLevel;
    const double last = std::log(attempts.back().groups_a_minute);
    // How much more was right than expected of a person who has nine in ten at this level; falls as the
    // level rises.
    const auto surplus = [&](double level) {
        double sum = kPriorCharacters * (kWantedRight - share_at(last, level));
        double weight = 1.0;
        for (std::size_t i = attempts.size(); i-- > 0 && weight > kLeastWeightOfAttempt;) {
            const LevelAttempt& one = attempts[i];
            sum += weight * (one.right - one.of * share_at(std::log(one.groups_a_minute), level));
            weight *= kForget;
        }
        return sum;
    };
    double low = last - std::log(kLongestStep);
    double high = last + std::log(kLongestStep);
    for (int i = 0; i < 40; ++i) {
        const double middle = 0.5 * (low + high);
        (surplus(middle) > 0.0 ? low : high) = middle;
    }
    return std::clamp(std::exp(0.5 * (low + high)), lowest_level(), highest_level());
}

}  // namespace skedlark::fist
