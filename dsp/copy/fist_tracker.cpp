#include "dsp/copy/fist_tracker.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>

#include "dsp/tone/frame.h"

namespace skedlark::copy {
namespace {

// How many lengths of a kind are remembered. Tried 20 to 120: below 30 the spreads are noisy, above
// 80 a wandering speed is missed.
constexpr double kMemoryMarks = 50.0;
// What the first guess weighs, in lengths; the spread needs more to be believed than the mean.
constexpr double kGuessMean = 2.0;
constexpr double kGuessSpread = 8.0;
// Even a machine is not believed to be evener than this: drift, filter, echoes.
constexpr double kLeastCv = 0.03;
// Lengths that scatter more than this are not taken for a hand; the gaps between characters may, by
// so much.
constexpr double kMostCv = 0.25;
constexpr double kMostGapCv = 0.40;
// Variance of a length in frames that comes from reading it off the 5 ms grid, not from the hand.
constexpr double kReadingVariance = 0.25;

}  // namespace

void FistTracker::Memory::add(double log_length, double weight_now) {
    const double keep = std::max(0.0, 1.0 - weight_now / kMemoryMarks);
    weight *= keep;
    spread_log *= keep;
    weight += weight_now;
    const double off = log_length - mean_log;
    mean_log += off * weight_now / weight;
    spread_log += weight_now * off * (log_length - mean_log);
}

void FistTracker::start(const Timing& guess) {
    guess_ = {guess.dot, guess.dash, guess.element_gap, guess.character_gap, guess.word_gap};
    memory_ = {};
    marks_ = 0.0;
}

void FistTracker::reset() {
    memory_ = {};
    totals_ = {};
    marks_ = 0.0;
}

void FistTracker::add(Kind kind, std::int64_t frames, double weight) {
    const auto length = static_cast<double>(frames);
    memory_[kind].add(std::log(length), weight);
    Total& total = totals_[kind];
    total.count += weight;
    total.sum += weight * length;
    total.squares += weight * length * length;
}

void FistTracker::learn(const std::vector<SampledPath>& paths, double from, double to) {
    const double weight = 1.0 / static_cast<double>(paths.size());
    for (const SampledPath& path : paths) {
        const SampledMark* before = nullptr;
        for (const SampledCharacter& character : path) {
            for (const SampledMark& mark : character.marks) {
                const auto end = static_cast<double>(mark.to);
                const bool first = &mark == &character.marks.front();
                if (end > from && end <= to && character.complete) {
                    add(mark.dash ? dash : dot, mark.to - mark.from, weight);
                    marks_ += weight;
                    const bool gap_known =
                        before != nullptr && (!first || character.before == GapKind::character ||
                                              character.before == GapKind::word);
                    if (gap_known && mark.from > before->to) {
                        add(!first                              ? element_gap
                            : character.before == GapKind::word ? word_gap
                                                                : character_gap,
                            mark.from - before->to, weight);
                    }
                }
                before = &mark;
            }
        }
    }
}

void FistTracker::relearn(const std::vector<SampledPath>& paths, double from, double to) {
    start(timing());
    const auto totals = totals_;
    learn(paths, from, to);
    totals_ = totals;
    const Timing learned = timing();
    start(learned);
}

Length FistTracker::believed(Kind kind) const {
    const double most_cv = kind == character_gap || kind == word_gap ? kMostGapCv : kMostCv;
    const Memory& memory = memory_[kind];
    const Length& guess = guess_[kind];
    const double guess_log = std::log(guess.mean_frames);
    const double log_mean =
        (kGuessMean * guess_log + memory.weight * memory.mean_log) / (kGuessMean + memory.weight);
    const double mean = std::exp(log_mean);
    const double reading = kReadingVariance / (mean * mean);
    const double learned = std::max(0.0, memory.spread_log - memory.weight * reading);
    const double variance =
        (kGuessSpread * guess.cv * guess.cv + learned) / (kGuessSpread + memory.weight);
    return {mean * (1.0 + 0.5 * variance), std::clamp(std::sqrt(variance), kLeastCv, most_cv)};
}

Timing FistTracker::timing() const {
    return {believed(dot), believed(dash), believed(element_gap), believed(character_gap),
            believed(word_gap)};
}

// The dot by all kinds of lengths together, each taken for its standard number of dots and weighing
// by how well it is known.
double FistTracker::unit_frames() const {
    constexpr std::array<double, kinds> kUnits = {1.0, 3.0, 1.0, 3.0, 7.0};
    double sum = 0.0, units = 0.0;
    for (const Kind kind : {dot, dash, element_gap, character_gap}) {
        const double weight = kGuessMean + memory_[kind].weight;
        sum += weight * believed(kind).mean_frames;
        units += weight * kUnits[kind];
    }
    return sum / units;
}

std::vector<Timing> FistTracker::proposals() const {
    const Timing now = timing();
    Timing looser = now;
    for (Length* length : {&looser.dot, &looser.dash, &looser.element_gap, &looser.character_gap,
                           &looser.word_gap}) {
        length->cv = std::min(kMostGapCv, 1.7 * length->cv + 0.02);
    }
    const double unit = 0.5 * (now.dot.mean_frames + now.element_gap.mean_frames);
    return {now,
            scaled(now, 0.93),
            scaled(now, 1.07),
            looser,
            timing_of(loose_hand(), 0.85 * unit),
            timing_of(loose_hand(), 1.18 * unit),
            timing_of(machine(), unit_frames())};
}

TimingSummary FistTracker::totals() const {
    constexpr double kNone = std::numeric_limits<double>::quiet_NaN();
    std::array<double, kinds> mean{}, cv{};
    for (int kind = 0; kind < kinds; ++kind) {
        const Total& total = totals_[kind];
        mean[kind] = total.count < 0.5 ? kNone : total.sum / total.count / tone::kBasebandRateHz;
        const double average = total.sum / total.count;
        const double variance = total.squares / total.count - average * average - kReadingVariance;
        cv[kind] = total.count < 1.5 ? kNone : std::sqrt(std::max(0.0, variance)) / average;
    }
    TimingSummary out{};
    out.dot_s = mean[dot];
    out.dash_s = mean[dash];
    out.element_gap_s = mean[element_gap];
    out.character_gap_s = mean[character_gap];
    out.word_gap_s = mean[word_gap];
    out.dash_to_dot = mean[dash] / mean[dot];
    out.dot_cv = cv[dot];
    out.dash_cv = cv[dash];
    out.element_gap_cv = cv[element_gap];
    out.character_gap_cv = cv[character_gap];
    out.marks = static_cast<int>(std::lround(totals_[dot].count + totals_[dash].count));
    return out;
}

}  // namespace skedlark::copy
