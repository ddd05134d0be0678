#include "dsp/copy/level_tracker.h"

#include <algorithm>
#include <cmath>

#include "dsp/core/units.h"

namespace skedlark::copy {
namespace {

// No tone below this is followed in level: -18 dB in 2500 Hz cannot be read at any speed.
constexpr double kLeastSnr2500hzDb = -18.0;
// Averaging of the level; marks, each weighing by its length.
constexpr double kMemoryFrames = 400.0;
// Shares of the mixture move this much with each mark, and stay above a floor so that they can come
// back.
constexpr double kShareStep = 0.05;
// Each reading that is not needed makes marks of noise: at 0.01 a tone of steady phase was read 0.4
// to 1 % worse near its limit (tuning seeds).
constexpr double kLeastShare = 0.002;

double least_power(double noise) {
    return noise * power_from_db(kLeastSnr2500hzDb) * kReferenceBandwidthHz / tone::kBasebandRateHz;
}

}  // namespace

double excess_amplitude(const MarkEvidence& evidence, std::int64_t from, std::int64_t to) {
    double power = 0.0, noise = 0.0, count = 0.0;
    for (std::int64_t i = from; i < to; ++i) {
        const tone::BasebandFrame& frame = evidence.frame(i);
        if (!frame.has_level()) {
            continue;
        }
        const auto variance = static_cast<double>(frame.noise_variance);
        // Weighted by 1 / variance: a crash of static says little about the tone.
        power += static_cast<double>(std::norm(frame.z)) / variance;
        noise += 1.0;
        count += 1.0 / variance;
    }
    if (count <= 0.0) {
        return 0.0;
    }
    const double mean_noise = noise / count;
    return std::sqrt(std::max((power - noise) / count / kKeyDownShare, least_power(mean_noise)));
}

void LevelTracker::start(double amplitude) {
    power_sum_ = amplitude * amplitude * kMemoryFrames * 0.25;
    weight_sum_ = kMemoryFrames * 0.25;
    inverse_noise_sum_ = noise_frames_ = 0.0;
    mix_ = MarkMix{};
}

void LevelTracker::reset() { *this = LevelTracker{}; }

void LevelTracker::learn(const std::vector<SampledPath>& paths, const MarkEvidence& evidence,
                         double from, double to) {
    const double share = 1.0 / static_cast<double>(paths.size());
    double step = 0.0;
    MarkMix sum{0.0, 0.0, 0.0, 0.0, 0.0, 0.0};
    double power = 0.0, frames = 0.0, inverse_noise = 0.0;
    for (const SampledPath& path : paths) {
        for (const SampledCharacter& character : path) {
            for (const SampledMark& mark : character.marks) {
                if (static_cast<double>(mark.to) <= from || static_cast<double>(mark.to) > to ||
                    mark.from < evidence.oldest()) {
                    continue;
                }
                const std::int64_t middle = (mark.from + mark.to) / 2;
                const double a = evidence.amplitude(middle);
                const MarkMix s = evidence.shares(mark.from, mark.to);
                const double level = evidence.relative_power(mark.from, mark.to, s) * a * a;
                const double length = share * static_cast<double>(mark.to - mark.from);
                power += length * level;
                frames += length;
                const auto noise = static_cast<double>(evidence.frame(middle).noise_variance);
                inverse_noise += length / noise;
                ratio_sum_ += length * level / noise;
                frames_sum_ += length;
                sum.steady += share * s.steady;
                sum.fading += share * s.fading;
                sum.turning += share * s.turning;
                sum.rough += share * s.rough;
                sum.torn += share * s.torn;
                sum.carried += share * s.carried;
                step += share;
            }
        }
    }
    if (step <= 0.0) {
        return;
    }
    const double keep = std::exp(-frames / kMemoryFrames);
    power_sum_ = power_sum_ * keep + power;
    weight_sum_ = weight_sum_ * keep + frames;
    inverse_noise_sum_ = inverse_noise_sum_ * keep + inverse_noise;
    noise_frames_ = noise_frames_ * keep + frames;
    const double move = 1.0 - std::exp(-kShareStep * step);
    const auto blend = [&](double old, double fresh) {
        return std::max(kLeastShare, old + move * (fresh / step - old));
    };
    mix_ = {blend(mix_.steady, sum.steady),   blend(mix_.fading, sum.fading),
            blend(mix_.turning, sum.turning), blend(mix_.rough, sum.rough),
            blend(mix_.torn, sum.torn),       blend(mix_.carried, sum.carried)};
    const double all =
        mix_.steady + mix_.fading + mix_.turning + mix_.rough + mix_.torn + mix_.carried;
    mix_ = {mix_.steady / all, mix_.fading / all, mix_.turning / all,
            mix_.rough / all,  mix_.torn / all,   mix_.carried / all};
}

double LevelTracker::amplitude() const {
    // Harmonic mean: a mark in a crash of static says little about the noise. None before a mark.
    const double noise = noise_frames_ > 0.0 ? noise_frames_ / inverse_noise_sum_ : 0.0;
    return std::sqrt(std::max(power_sum_ / std::max(weight_sum_, 1e-9), least_power(noise)));
}

double LevelTracker::snr_2500hz_db() const {
    const double ratio = frames_sum_ > 0.0 ? ratio_sum_ / frames_sum_ : 0.0;
    return db_from_power(std::max(ratio, 1e-6) * tone::kBasebandRateHz / kReferenceBandwidthHz);
}

}  // namespace skedlark::copy
