// How a station's pitch ran through a sweep, smooth, and when it was at zero beat.
//
// Stage:   tone. In: pitches measured along it. Out: pitch, rate and their uncertainty at all times.
// Units:   hertz with a sign: above the beat oscillator before zero beat, below it after; seconds.
// Shape:   nodes every kStepS, from so much before the first measurement to so much after the last
//          that zero beat lies between them.
// Time:    seconds from the first sample.
// Errors:  none; at least two measurements in order of time.
// Threads: values.
// Source:  Kalman filter and Rauch-Tung-Striebel smoother (AIAA J. 3, 1965) of a pace that wanders:
//          integrated white noise, by kWander of the pace in a second.
// Checked: tests/dsp/tone/glide_track_test.cpp
#pragma once

#include <span>
#include <vector>

namespace skedlark::tone {

struct GlideMeasurement {
    double at_s = 0.0;
    double pitch_hz = 0.0;
    double sd_hz = 1.0;
};

class GlideTrack {
 public:
    static constexpr double kStepS = 0.01;
    static constexpr double kWander = 0.2;

    // rate_hz_per_s: about the pace, above 0.
    GlideTrack(std::span<const GlideMeasurement> measured, double rate_hz_per_s);

    [[nodiscard]] double pitch_hz(double at_s) const;
    [[nodiscard]] double zero_beat_s() const { return zero_beat_s_; }
    [[nodiscard]] double zero_beat_sd_s() const { return zero_beat_sd_s_; }
    [[nodiscard]] double rate_hz_per_s() const { return rate_hz_per_s_; }  // at zero beat
    [[nodiscard]] double from_s() const { return from_s_; }                // of the measurements
    [[nodiscard]] double to_s() const { return to_s_; }

 private:
    struct Node {
        double x = 0.0, v = 0.0;              // pitch, its slope
        double xx = 0.0, xv = 0.0, vv = 0.0;  // covariance
    };
    void smooth(std::span<const GlideMeasurement> measured, double rate_hz_per_s);
    void find_zero_beat();

    double start_s_ = 0.0;
    double from_s_ = 0.0;
    double to_s_ = 0.0;
    std::vector<Node> nodes_;
    double zero_beat_s_ = 0.0;
    double zero_beat_sd_s_ = 0.0;
    double rate_hz_per_s_ = 0.0;
};

}  // namespace skedlark::tone
