#include "dsp/fist/rhythm_line.h"

#include <cmath>

#include "dsp/core/units.h"

namespace skedlark::fist {

std::vector<CharacterSpeed> character_speeds(const Keying& keying, const Sending& sending,
                                             double unit_s) {
    std::vector<CharacterSpeed> out;
    for (const SentCharacter& one : sending.characters) {
        const std::size_t last = one.first_mark + one.marks - 1;
        double units = 0.0, seconds = 0.0;
        bool counts = one.marks >= 2;
        for (std::size_t i = one.first_mark; i <= last; ++i) {
            counts = counts && sending.mark_counts[i] != 0;
            units += standard_units(sending.kinds.marks[i]);
            seconds += keying.marks[i].length_s();
            if (i == last) break;
            counts = counts && sending.gap_counts[i] != 0;
            units += morse::kElementGapUnits;
            seconds += keying.gap_s(i);
        }
        if (!counts || seconds <= 0.0) continue;
        out.push_back({keying.marks[one.first_mark].on_s, units * unit_s / seconds, units});
    }
    return out;
}

std::vector<RhythmPoint> rhythm_line(const Keying& keying, const Sending& sending, double unit_s) {
    const std::vector<CharacterSpeed> speeds = character_speeds(keying, sending, unit_s);
    std::vector<RhythmPoint> out;
    for (std::size_t from = 0; from + kRhythmCharacters <= speeds.size();
         from += kRhythmCharacters / 2) {
        double weight = 0.0, at = 0.0, sum = 0.0, squares = 0.0;
        for (std::size_t i = from; i < from + kRhythmCharacters; ++i) {
            const CharacterSpeed& one = speeds[i];
            const double value = std::log(one.speed);
            weight += one.weight;
            at += one.at_s;
            sum += one.weight * value;
            squares += one.weight * value * value;
        }
        const double mean = sum / weight;
        const double around = std::max(0.0, squares / weight - mean * mean);
        // Of so few, one is spent on the mean.
        constexpr double kUnbiased =
            static_cast<double>(kRhythmCharacters) / (kRhythmCharacters - 1);
        out.push_back({at / kRhythmCharacters, speed_wpm(unit_s) * std::exp(mean),
                       std::sqrt(around * kUnbiased)});
    }
    return out;
}

}  // namespace skedlark::fist
