// A simulated contact: a receiver, a chart, a station that may be away from where the chart has it,
// and whether a sweep over it notices it. What is planned with is only what an operator knows.
//
// Stage:   tests. In: a seed, the minutes there are. Out: the dial as charted, the truth, sweeps.
// Units:   divisions, seconds, hertz, decibels.
// Shape:   same seed, same contact; sweeps draw from their own stream.
// Time:    simulated.
// Errors:  stops the program: the ranges below are right.
// Threads: one contact each.
// Source:  chi-square with and without a mean, drawn from its parts (Johnson, Kotz, Balakrishnan,
//          Continuous Univariate Distributions 2 (1995), ch. 29); shares no code with
//          dsp/dial/detection.
// Checked: the study's own smoke test
#pragma once

#include <cstdint>
#include <random>

#include "dsp/dial/dial.h"

namespace skedlark::accuracy {

// One pass of a hand over a stretch: what was meant.
struct SweepMeant {
    double from_div = 0.0;
    double to_div = 0.0;
    double run_on_div = 0.0;
    double div_per_min = 1.0;
};

class Contact {
 public:
    Contact(std::uint64_t seed, double window_s);

    [[nodiscard]] const dial::Dial& dial() const { return dial_; }
    [[nodiscard]] const dial::Setting& setting() const { return setting_; }
    [[nodiscard]] double window_s() const { return window_s_; }
    // Expected of the station: what it has is drawn from it, and a little more.
    [[nodiscard]] double expected_snr_db() const { return expected_snr_db_; }
    [[nodiscard]] double level_sd_db() const { return kLevelSdDb; }
    [[nodiscard]] double sending_chance() const { return kSending; }
    // Standard deviation of the dial's drift in so many seconds, as the operator expects it.
    [[nodiscard]] double drift_sd_div(double seconds) const;

    // Whether a sweep that begins so long after the start notices the station, by the stream of
    // chances given. The hand does not keep pace and place exactly.
    [[nodiscard]] bool notices(const SweepMeant& sweep, double begins_s,
                               std::mt19937_64& chances) const;

    static constexpr double kSpeedWpm = 16.0;
    static constexpr double kPassbandHz = 2700.0;
    static constexpr double kFalseAlarmsPerPass = 0.1;  // of ten minutes

 private:
    static constexpr double kLevelSdDb = 4.0;
    static constexpr double kSending = 0.8;

    dial::Dial dial_;
    dial::Setting setting_;
    double window_s_;
    double expected_snr_db_ = 0.0;
    double snr_db_ = 0.0;   // true mean level
    double loss_db_ = 0.0;  // true, of the detector
    double div_ = 0.0;      // true place at the start
    double drift_div_per_s_ = 0.0;
    double expected_drift_div_per_s_ = 0.0;
};

}  // namespace skedlark::accuracy
