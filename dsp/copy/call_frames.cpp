#include "dsp/copy/call_frames.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace skedlark::copy {
namespace {

constexpr double kLevelFrames = 600.0;  // so long a level is remembered
// Noise alone seldom makes more of a mean over kMeanFrames than so many times its usual power.
constexpr double kNoisePeak = 12.0;

}  // namespace

CallFrame CallFrames::take(const tone::BasebandFrame& frame) {
    const auto heard = static_cast<double>(frame.noise_variance);
    const auto power = static_cast<double>(std::norm(frame.z));
    if (frame.lost || !std::isfinite(power) || !(heard > 0.0) || !std::isfinite(heard)) {
        follow_level({});
        return {};
    }
    follow_level(frame.z);
    noise_ = noise_ > 0.0 ? noise_ + (heard - noise_) / kNoiseFrames : heard;
    const double over_noise = level_ - kNoisePeak * noise_ / static_cast<double>(kMeanFrames);
    const double raised = over_noise / kHighestFrameEnergy;
    const double unit = std::max(noise_, raised);
    const double limit = unit * (kLimitLevel * kHighestFrameEnergy + kLimitNoise);
    const double weight = unit / std::max(heard, raised) / std::max(1.0, power / limit);
    const double scale = weight / std::sqrt(unit);
    return {static_cast<float>(scale * static_cast<double>(frame.z.real())),
            static_cast<float>(scale * static_cast<double>(frame.z.imag())),
            static_cast<float>(weight)};
}

// The highest mean lately, wherever a mark may lie.
void CallFrames::follow_level(std::complex<double> z) {
    last_[at_] = z;
    at_ = (at_ + 1) % kMeanFrames;
    const auto mean = std::accumulate(last_.begin(), last_.end(), std::complex<double>()) /
                      static_cast<double>(kMeanFrames);
    level_ = std::max(level_ * std::exp(-1.0 / kLevelFrames), std::norm(mean));
}

}  // namespace skedlark::copy
