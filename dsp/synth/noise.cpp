#include "dsp/synth/noise.h"

#include <algorithm>
#include <cmath>

#include "dsp/core/units.h"

namespace skedlark::synth {
namespace {

constexpr double kGaussianVdDb = 1.049;
// The swing of heavy-tailed noise is steady over 1 ms and has a memory of 20 ms: slow against 200
// Hz, the bandwidth Vd is stated in.
constexpr double kSwingStepS = 0.001;
constexpr double kSwingMemoryS = 0.020;

}  // namespace

NoiseSource::NoiseSource(const NoiseConfig& config, double unit_rms, double sample_rate_hz,
                         std::uint64_t seed)
    : config_(config),
      unit_rms_(unit_rms),
      sample_rate_hz_(sample_rate_hz),
      noise_(derive_seed(seed, "white")),
      static_(derive_seed(seed, "static")),
      swing_(derive_seed(seed, "swing")) {
    if (config.crashes_per_s > 0.0) {
        next_crash_frame_ = static_.exponential(sample_rate_hz / config.crashes_per_s);
    }
    // An amplitude factor exp(s g - s^2) has mean square 1 and adds 10 s^2 log10(e) dB to Vd.
    const double excess_db = std::max(0.0, config.vd_db - kGaussianVdDb);
    swing_deviation_ = std::sqrt(excess_db / (10.0 * std::log10(std::exp(1.0))));
    swing_state_ = swing_.normal();
    swing_step_frames_ =
        std::max<std::int64_t>(1, frames_from_seconds(kSwingStepS, sample_rate_hz));
}

void NoiseSource::begin_crashes() {
    while (next_crash_frame_ <= static_cast<double>(frame_)) {
        const double length_s = static_.uniform(config_.crash_min_s, config_.crash_max_s);
        const double level_db = config_.crash_level_db + config_.crash_spread_db * static_.normal();
        const double frames = length_s * sample_rate_hz_;
        // Power falls to exp(-6) where the amplitude falls to exp(-3).
        const double keep =
            config_.crash_shape == CrashShape::decay ? std::exp(-6.0 / frames) : 1.0;
        running_.push_back({power_from_db(level_db), keep,
                            frame_ + std::max<std::int64_t>(1, std::llround(frames))});
        if (crashes_.size() < kMaxCrashesKept) {
            crashes_.push_back({static_cast<double>(frame_) / sample_rate_hz_, length_s, level_db});
        }
        next_crash_frame_ += static_.exponential(sample_rate_hz_ / config_.crashes_per_s);
    }
}

double NoiseSource::crash_power() {
    if (static_cast<double>(frame_) >= next_crash_frame_) begin_crashes();
    if (running_.empty()) return 0.0;
    double power = 0.0;
    for (Running& crash : running_) {
        power += crash.power;
        crash.power *= crash.keep;
    }
    std::erase_if(running_, [&](const Running& crash) { return crash.end_frame <= frame_ + 1; });
    return power;
}

double NoiseSource::modulation() {
    if (frame_ % swing_step_frames_ == 0) {
        const double step_s = static_cast<double>(swing_step_frames_) / sample_rate_hz_;
        const double keep = std::exp(-step_s / kSwingMemoryS);
        swing_state_ = keep * swing_state_ + std::sqrt(1.0 - keep * keep) * swing_.normal();
        swing_gain_ =
            std::exp(swing_deviation_ * swing_state_ - swing_deviation_ * swing_deviation_);
    }
    return swing_gain_;
}

void NoiseSource::add(std::span<double> audio) {
    if (unit_rms_ <= 0.0) return;
    for (double& sample : audio) {
        double power = 1.0;
        if (swing_deviation_ > 0.0) {
            const double gain = modulation();
            power = gain * gain;
        }
        // White noises add in power, so one draw serves all of them.
        if (config_.crashes_per_s > 0.0) power += crash_power();
        sample += unit_rms_ * (power == 1.0 ? 1.0 : std::sqrt(power)) * noise_.normal();
        ++frame_;
    }
}

}  // namespace skedlark::synth
