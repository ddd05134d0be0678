// The chance that a station is noticed while the dial moves over it, by its level and how fast its
// pitch runs.
//
// Stage:   dial. In: rate of the pitch, key-down SNR. Out: a chance.
// Units:   hertz a second, snr_2500hz_db; chance 0 to 1, for one pass over a station that sends.
// Shape:   falls with the rate, rises with the level.
// Time:    none.
// Errors:  create functions return invalid_value, parse_detection() damaged; naming line or field.
// Threads: chance() may be called from several threads.
// Source:  square-law detection of a steady tone over the looks of the dwell (Helstrom, Elements of
//          Signal Detection and Estimation, ch. 4; noncentral chi-square). Looks last a dot, their
//          mean power is that of keying by the 50-unit word (key down 22 of 50). loss_db is what a
//          tracker that is told only the nominal rate loses against this: simple trackers need
//          -16.2 / -14.1 / -10.2 dB at 1 / 2 / 5 kHz/s for 90 % at one false alarm in ten passes of
//          ten minutes, this curve with 2.5 dB of loss -16.2 / -14.4 / -11.7 dB at 20 wpm.
// Checked: tests/dsp/dial/detection_test.cpp, against Albersheim and exact values
#pragma once

#include <functional>
#include <string>
#include <string_view>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/dial/receiver.h"

namespace skedlark::dial {

struct SquareLawConfig {
    double passband_hz = 2700.0;         // of the audio, crossed twice; 100 to 20000
    double speed_wpm = 16.0;             // 4 to 60
    double false_alarms_per_pass = 0.1;  // 1e-6 to 10, over the passband
    double pass_s = 600.0;               // 1 to 36000
    double loss_db = 2.5;                // 0 to 30
};

struct FinderChanceConfig {
    double passband_hz = 2700.0;  // of the audio, crossed twice; 100 to 20000
    double speed_wpm = 16.0;      // 4 to 60
};

// Measured: that many of the stations of this level and rate were found.
struct MeasuredChance {
    double rate_hz_per_s = 0.0;  // above 0
    double snr_2500hz_db = 0.0;
    double chance = 0.0;
};

class DetectionModel {
 public:
    [[nodiscard]] static Result<DetectionModel> square_law(const SquareLawConfig& config);
    // Straight lines between the points, over decibels and the logarithm of the rate; made to rise
    // with the level where the measured spread makes it fall. Nothing is claimed that was not
    // measured: below the lowest level and above the fastest rate the chance is 0; above the highest
    // level and below the slowest rate it stays as it was there.
    [[nodiscard]] static Result<DetectionModel> measured(std::vector<MeasuredChance> points);
    // Of the glide finder of this program, as tests/accuracy/glide measured it
    // (docs/data/glide_curve.csv): tone/glide_finder.h. For another passband or speed the curve is
    // moved by what theory says the difference costs (Albersheim).
    [[nodiscard]] static Result<DetectionModel> glide_finder(const FinderChanceConfig& config);
    [[nodiscard]] static DetectionModel from(
        std::function<double(double rate_hz_per_s, double snr_2500hz_db)> chance);

    [[nodiscard]] double chance(double rate_hz_per_s, double snr_2500hz_db) const {
        return chance_(rate_hz_per_s, snr_2500hz_db);
    }

 private:
    explicit DetectionModel(std::function<double(double, double)> chance)
        : chance_(std::move(chance)) {}

    std::function<double(double, double)> chance_;
};

// CSV with the columns rate_hz_per_s, snr_2500hz_db and chance, in any order and among others; lines
// that begin with # count for nothing.
[[nodiscard]] Result<DetectionModel> parse_detection(std::string_view csv, const std::string& name);
[[nodiscard]] Result<DetectionModel> read_detection(const std::string& path);

[[nodiscard]] double passband_hz(const ReceiverAudio& audio);

}  // namespace skedlark::dial
