// The detection curve of one expectation, laid out for quick use: chance by rate, for a few levels
// the station may have.
//
// Stage:   dial. In: a detection model, what is expected. Out: chances.
// Units:   hertz a second, dB.
// Shape:   kLevels levels, equally likely, spread about the expected one as a normal of level_sd_db.
// Time:    none.
// Errors:  create() returns invalid_value naming the field.
// Threads: values.
// Source:  none.
// Checked: tests/dsp/dial/chance_by_rate_test.cpp
#pragma once

#include <array>
#include <optional>
#include <vector>

#include "dsp/dial/detection.h"

namespace skedlark::dial {

inline constexpr std::size_t kLevels = 5;

struct Expectation {
    double snr_2500hz_db = -10.0;  // key-down, at the noise there is; -60 to 60
    double level_sd_db = 0.0;      // how unsure that is, 0 to 30
    double sending_chance = 1.0;   // that it sends while the dial passes, 0 to 1
};

class ChanceByRate {
 public:
    [[nodiscard]] static Result<ChanceByRate> create(const DetectionModel& model,
                                                     const Expectation& expected);

    // Of one pass over the station, if it has this level.
    [[nodiscard]] double at(double rate_hz_per_s, std::size_t level) const;
    // Mean over the levels.
    [[nodiscard]] double at(double rate_hz_per_s) const;
    // The fastest rate that gives the wanted chance of noticing a station that sends; empty where
    // none does, because the station is too weak.
    [[nodiscard]] std::optional<double> fastest_with(double wanted_chance) const;

    // The same where the noise is louder by so many decibels than the level was meant for.
    [[nodiscard]] ChanceByRate in_noise(double louder_db) const;

    [[nodiscard]] const Expectation& expected() const { return expected_; }

 private:
    ChanceByRate(DetectionModel model, const Expectation& expected);

    DetectionModel model_;
    Expectation expected_;
    std::array<std::vector<double>, kLevels> chances_;  // over the logarithm of the rate
};

}  // namespace skedlark::dial
