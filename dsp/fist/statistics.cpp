#include "dsp/fist/statistics.h"

#include <algorithm>
#include <cmath>

#include "dsp/fist/rhythm_line.h"
#include "dsp/morse/code_table.h"

namespace skedlark::fist {
namespace {

using morse::ElementKind;

class Spread {
 public:
    void add(double value, double error_variance) {
        ++count_;
        const double step = value - mean_;
        mean_ += step / count_;
        squares_ += step * (value - mean_);
        error_ += error_variance;
    }
    [[nodiscard]] LengthStatistics statistics() const {
        LengthStatistics out;
        out.count = count_;
        if (count_ == 0) return out;
        out.mean_s = mean_;
        out.error_sd_s = std::sqrt(error_ / count_);
        if (count_ < 2) return out;
        out.sd_s = std::sqrt(std::max(0.0, squares_ / (count_ - 1) - error_ / count_));
        return out;
    }

 private:
    int count_ = 0;
    double mean_ = 0.0;
    double squares_ = 0.0;
    double error_ = 0.0;
};

void measure_lengths(const Keying& keying, const Sending& sending, Statistics& out) {
    std::array<Spread, kKinds> spreads;
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        if (sending.mark_counts[i] != 0) {
            spreads[index_of(sending.kinds.marks[i])].add(keying.marks[i].length_s(),
                                                          keying.marks[i].length_variance());
        }
        if (i + 1 < keying.marks.size() && sending.gap_counts[i] != 0) {
            spreads[index_of(sending.kinds.gaps[i])].add(keying.gap_s(i), keying.gap_variance(i));
        }
    }
    for (int k = 0; k < kKinds; ++k) {
        out.lengths[static_cast<std::size_t>(k)] =
            spreads[static_cast<std::size_t>(k)].statistics();
    }
    const LengthStatistics& dot = out.of(ElementKind::dot);
    out.dash_to_dot = out.of(ElementKind::dash).mean_s / dot.mean_s;
    out.weight = dot.mean_s / (dot.mean_s + out.of(ElementKind::element_gap).mean_s);
}

void measure_speed(const Keying& keying, const Sending& sending, Statistics& out) {
    double inner_s = 0.0, inner_units = 0.0, all_s = 0.0, all_units = 0.0;
    for (std::size_t i = 0; i < keying.marks.size(); ++i) {
        if (sending.mark_counts[i] != 0) {
            inner_s += keying.marks[i].length_s();
            inner_units += standard_units(sending.kinds.marks[i]);
        }
        if (i + 1 == keying.marks.size() || sending.gap_counts[i] == 0) continue;
        const ElementKind kind = sending.kinds.gaps[i];
        const bool inner = kind == ElementKind::element_gap;
        (inner ? inner_s : all_s) += keying.gap_s(i);
        (inner ? inner_units : all_units) += standard_units(kind);
    }
    if (inner_units <= 0.0) return;
    out.unit_s = inner_s / inner_units;
    out.character_wpm = speed_wpm(out.unit_s);
    out.overall_wpm = speed_wpm((inner_s + all_s) / (inner_units + all_units));
}

void measure_drift(const Keying& keying, const Sending& sending, Statistics& out) {
    const std::vector<CharacterSpeed> speeds = character_speeds(keying, sending, out.unit_s);
    if (speeds.size() < 5) return;
    double sw = 0.0, st = 0.0, sy = 0.0;
    for (const CharacterSpeed& one : speeds) {
        sw += one.weight;
        st += one.weight * one.at_s;
        sy += one.weight * one.speed;
    }
    double stt = 0.0, sty = 0.0;
    for (const CharacterSpeed& one : speeds) {
        stt += one.weight * (one.at_s - st / sw) * (one.at_s - st / sw);
        sty += one.weight * (one.at_s - st / sw) * (one.speed - sy / sw);
    }
    if (stt <= 0.0) return;
    const double slope = sty / stt;
    double rest = 0.0, scaled = 0.0;
    for (const CharacterSpeed& one : speeds) {
        const double off = one.speed - sy / sw - slope * (one.at_s - st / sw);
        rest += one.weight * off * off;
        scaled += one.weight * one.weight * (one.at_s - st / sw) * (one.at_s - st / sw) * off * off;
    }
    out.drift_percent_per_min = 6000.0 * slope;
    out.drift_error_percent_per_min = 6000.0 * std::sqrt(scaled) / stt;
    out.drift_percent = 100.0 * slope * (speeds.back().at_s - speeds.front().at_s);
    out.speed_cv = std::sqrt(rest / sw);
}

void measure_positions(const Keying& keying, const Sending& sending, Statistics& out) {
    std::array<std::array<Spread, 3>, 2> spreads;
    for (const SentCharacter& one : sending.characters) {
        if (one.marks < 3) continue;
        for (std::size_t n = 0; n < one.marks; ++n) {
            const std::size_t i = one.first_mark + n;
            if (sending.mark_counts[i] == 0) continue;
            const std::size_t place = n == 0 ? 0 : n + 1 == one.marks ? 2 : 1;
            const double unit = out.unit_s;
            spreads[index_of(sending.kinds.marks[i])][place].add(
                keying.marks[i].length_s() / unit, keying.marks[i].length_variance() / unit / unit);
        }
    }
    out.dots = {spreads[0][0].statistics(), spreads[0][1].statistics(), spreads[0][2].statistics()};
    out.dashes = {spreads[1][0].statistics(), spreads[1][1].statistics(),
                  spreads[1][2].statistics()};
}

void measure_rhythm(const Keying& keying, const Sending& sending, Statistics& out) {
    for (const SentCharacter& one : sending.characters) {
        if (one.text == "_") continue;
        std::vector<double> units;
        bool counts = true;
        for (std::size_t n = 0; n < one.marks; ++n) {
            const std::size_t i = one.first_mark + n;
            counts = counts && sending.mark_counts[i] != 0;
            units.push_back(keying.marks[i].length_s() / out.unit_s);
            if (n + 1 == one.marks) break;
            counts = counts && sending.gap_counts[i] != 0;
            units.push_back(keying.gap_s(i) / out.unit_s);
        }
        if (!counts) continue;
        CharacterRhythm& rhythm = out.rhythm[name_of(one)];
        rhythm.units.resize(units.size(), 0.0);
        ++rhythm.count;
        for (std::size_t n = 0; n < units.size(); ++n) {
            rhythm.units[n] += (units[n] - rhythm.units[n]) / rhythm.count;
            const bool dash = n % 2 == 0 && one.elements[n / 2] == '-';
            const double off = std::log(std::max(units[n], 0.01) / (dash ? 3.0 : 1.0));
            rhythm.off_standard += off * off / static_cast<double>(units.size());
        }
    }
    for (auto& [name, rhythm] : out.rhythm) {
        rhythm.off_standard = std::sqrt(rhythm.off_standard / rhythm.count);
    }
}

}  // namespace

std::string name_of(const SentCharacter& character) {
    return character.procedure ? "[" + character.text + "]" : character.text;
}

Statistics statistics_of(const Keying& keying, const Sending& sending) {
    Statistics out;
    if (keying.marks.empty()) return out;
    measure_lengths(keying, sending, out);
    measure_speed(keying, sending, out);
    measure_drift(keying, sending, out);
    measure_positions(keying, sending, out);
    measure_rhythm(keying, sending, out);
    return out;
}

}  // namespace skedlark::fist
