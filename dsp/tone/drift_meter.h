// Slope of a pitch over the last half minute.
//
// Stage:   tone. In: pitch estimates with their weight. Out: hertz per minute.
// Units:   seconds, hertz.
// Shape:   one call an estimate.
// Time:    forgets with a time constant of 30 s.
// Errors:  none; 0 until two seconds were seen.
// Threads: one thread per instance; no allocation.
// Source:  exponentially weighted least squares line.
// Checked: tests/dsp/tone/drift_meter_test.cpp
#pragma once

namespace skedlark::tone {

class DriftMeter {
 public:
    void add(double at_s, double pitch_hz, double weight) noexcept;
    [[nodiscard]] double hz_per_min() const noexcept;
    void reset() noexcept { *this = DriftMeter{}; }

 private:
    // Weighted means and central moments, kept by Welford's recursion.
    double weight_ = 0.0, mean_s_ = 0.0, mean_hz_ = 0.0, time_time_ = 0.0, time_hz_ = 0.0;
    double first_s_ = 0.0, last_s_ = 0.0;
};

}  // namespace skedlark::tone
