// Units, scales and definitions used everywhere; each stands only here.
//
// Stage:   core. Levels: 0 dBFS is a sine of peak 1.0. An SNR names its noise bandwidth; a tone's
//          is key-down tone power over noise power in 2500 Hz. Time is a 64-bit frame index.
// Source:  ITU-R M.1677-1 (element lengths); 50-unit word PARIS (dit_s = 1.2 / speed_wpm).
// Checked: tests/dsp/core/units_test.cpp
#pragma once

#include <cmath>
#include <cstdint>

namespace skedlark {

using FrameIndex = std::int64_t;

// All stages after the resampler work at this rate; events carry frames of it.
inline constexpr double kWorkRateHz = 8000.0;
// Noise bandwidth that every snr_2500hz_db refers to.
inline constexpr double kReferenceBandwidthHz = 2500.0;

inline constexpr double kMinSpeedWpm = 4.0;
inline constexpr double kMaxSpeedWpm = 60.0;

// Length of a dot (unit) at a speed by the 50-unit word PARIS. speed_wpm above 0.
[[nodiscard]] constexpr double dit_s(double speed_wpm) { return 1.2 / speed_wpm; }
[[nodiscard]] constexpr double speed_wpm(double dit_s) { return 1.2 / dit_s; }

[[nodiscard]] inline double db_from_power(double power_ratio) {
    return 10.0 * std::log10(power_ratio);
}
[[nodiscard]] inline double power_from_db(double db) { return std::pow(10.0, 0.1 * db); }
[[nodiscard]] inline double amplitude_from_db(double db) { return std::pow(10.0, 0.05 * db); }

[[nodiscard]] constexpr double seconds_from_frames(FrameIndex frames,
                                                   double rate_hz = kWorkRateHz) {
    return static_cast<double>(frames) / rate_hz;
}
[[nodiscard]] inline FrameIndex frames_from_seconds(double seconds, double rate_hz = kWorkRateHz) {
    return static_cast<FrameIndex>(std::llround(seconds * rate_hz));
}

}  // namespace skedlark
