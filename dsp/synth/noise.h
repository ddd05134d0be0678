// What comes with the signal out of the aerial: white noise, static, heavy-tailed noise.
//
// Stage:   synth. Out: real audio, sample by sample.
// Units:   unit_rms is the rms of the plain white noise over the whole band 0 to sample rate / 2;
//          static in dB over that noise, in the same band.
// Shape:   any block length, in order; equal for any split.
// Time:    crashes come at random (Poisson), independent of one another.
// Errors:  none; settings are checked with the scene's.
// Threads: one thread per instance.
// Source:  Vd, rms over average envelope: NTIA 85-173, 1.049 dB for Gaussian noise; its values by
//          band and season in ITU-R P.372 run from 1.7 to 8.2 dB.
// Checked: tests/dsp/synth/noise_test.cpp
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "dsp/synth/random.h"

namespace skedlark::synth {

enum class CrashShape { burst, decay };

struct NoiseConfig {
    double crashes_per_s = 0.0;    // 0 to 200
    double crash_level_db = 20.0;  // -20 to 60, power of the crash over that of the white noise
    double crash_spread_db = 0.0;  // standard deviation of the level from crash to crash, 0 to 20
    double crash_min_s = 0.002;    // 0.0001 to crash_max_s
    double crash_max_s = 0.020;    // up to 2; lengths are equally likely between the two
    // burst: even over its length; decay: starts at the level, falls to exp(-3) of its amplitude.
    CrashShape crash_shape = CrashShape::burst;
    // Vd of the noise in 200 Hz, at least 1.049 (Gaussian), at most 8. Its mean power stays the
    // same.
    double vd_db = 1.049;
};

struct Crash {
    double at_s = 0.0;
    double length_s = 0.0;
    double level_db = 0.0;
};

class NoiseSource {
 public:
    NoiseSource(const NoiseConfig& config, double unit_rms, double sample_rate_hz,
                std::uint64_t seed);
    void add(std::span<double> audio);
    // Crashes begun so far, up to kMaxCrashesKept.
    [[nodiscard]] const std::vector<Crash>& crashes() const { return crashes_; }
    static constexpr std::size_t kMaxCrashesKept = 100000;

 private:
    struct Running {
        double power;  // now, relative to the white noise
        double keep;   // factor on it a sample
        std::int64_t end_frame;
    };
    void begin_crashes();
    double crash_power();
    double modulation();

    NoiseConfig config_;
    double unit_rms_;
    double sample_rate_hz_;
    Random noise_;
    Random static_;
    Random swing_;
    std::vector<Running> running_;
    std::vector<Crash> crashes_;
    double next_crash_frame_ = 0.0;
    double swing_deviation_ = 0.0;  // of the amplitude's logarithm
    double swing_state_ = 0.0;
    double swing_gain_ = 1.0;
    std::int64_t swing_step_frames_ = 1;
    std::int64_t frame_ = 0;
};

}  // namespace skedlark::synth
