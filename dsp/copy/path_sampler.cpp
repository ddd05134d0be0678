#include "dsp/copy/path_sampler.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "dsp/copy/backward_walk.h"

namespace skedlark::copy {
namespace {

// With text knowledge: so many readings are drawn for one that is given out, each so far back at a
// time; where fewer than this share of them still count, they are drawn anew by their weights.
constexpr int kReadingsPerPath = 2;
constexpr double kStepDots = 10.0;
constexpr double kFewEffective = 0.5;

SampledPath in_order(SampledPath path) {
    std::reverse(path.begin(), path.end());
    for (SampledCharacter& character : path) {
        std::reverse(character.marks.begin(), character.marks.end());
    }
    return path;
}

// As many readings as wanted, each as often as its weight says, and all of one weight again.
std::vector<Reading> evened(const std::vector<Reading>& readings, std::size_t wanted,
                            double uniform) {
    double most = readings.front().log_weight;
    for (const Reading& reading : readings) most = std::max(most, reading.log_weight);
    WeightedChoice choice;
    for (const Reading& reading : readings) choice.add(std::exp(reading.log_weight - most));
    std::vector<Reading> out;
    for (std::size_t i = 0; i < wanted; ++i) {
        const double at = (static_cast<double>(i) + uniform) / static_cast<double>(wanted);
        out.push_back(readings[choice.pick(at)]);
        out.back().log_weight = 0.0;
    }
    return out;
}

// How many readings of one weight would be worth as much as these.
double effective(const std::vector<Reading>& readings) {
    double most = readings.front().log_weight;
    for (const Reading& reading : readings) most = std::max(most, reading.log_weight);
    double sum = 0.0;
    double squares = 0.0;
    for (const Reading& reading : readings) {
        const double weight = std::exp(reading.log_weight - most);
        sum += weight;
        squares += weight * weight;
    }
    return sum * sum / squares;
}

}  // namespace

std::vector<SampledPath> PathSampler::draw(const TextTrellis& trellis, const MarkEvidence& evidence,
                                           std::int64_t stop, int paths,
                                           const TextKnowledge* knowledge) {
    const PathEndings endings(trellis, evidence);
    std::vector<SampledPath> drawn;
    if (!endings.possible()) {
        return drawn;
    }
    BackwardWalk walk(trellis, random_, stop, knowledge);
    const auto uniform = [&] { return std::generate_canonical<double, 32>(random_); };
    const auto start = [&](int i, int count) {
        // Evenly spread draws of the ending: the same shares with less scatter.
        return walk.start(endings.pick((i + uniform()) / count), trellis.now());
    };
    if (knowledge == nullptr) {
        for (int i = 0; i < paths; ++i) {
            Reading reading = start(i, paths);
            walk.go_on(reading, stop);
            drawn.push_back(in_order(std::move(reading.path)));
        }
        return drawn;
    }
    const int count = kReadingsPerPath * paths;
    std::vector<Reading> readings;
    for (int i = 0; i < count; ++i) readings.push_back(start(i, count));
    const auto step =
        std::max<std::int64_t>(1, std::llround(kStepDots * trellis.hand(0).timing.dot.mean_frames));
    for (std::int64_t until = trellis.now(); until > stop;) {
        until = std::max(stop, until - step);
        for (Reading& reading : readings) walk.go_on(reading, until);
        if (until > stop && effective(readings) < kFewEffective * count)
            readings = evened(readings, readings.size(), uniform());
    }
    for (Reading& reading : evened(readings, static_cast<std::size_t>(paths), uniform()))
        drawn.push_back(in_order(std::move(reading.path)));
    return drawn;
}

}  // namespace skedlark::copy
