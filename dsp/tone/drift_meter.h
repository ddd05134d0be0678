// Slope of a pitch over its recent past.
//
// Stage:   tone. In: pitch estimates with their weight. Out: hertz per minute.
// Units:   seconds, hertz.
// Shape:   one call an estimate.
// Time:    forgets with a time constant of memory_s.
// Errors:  none; 0 until two seconds were seen.
// Threads: one thread per instance; no allocation.
// Source:  exponentially weighted least squares line.
// Checked: tests/dsp/tone/drift_meter_test.cpp
#pragma once

namespace skedlark::tone {

class DriftMeter {
 public:
    explicit DriftMeter(double memory_s) : memory_s_(memory_s) {}  // above 0
    void add(double at_s, double pitch_hz, double weight) noexcept;
    [[nodiscard]] double hz_per_min() const noexcept;
    // The slope drawn towards zero by its own uncertainty: wander about a mean is not drift.
    [[nodiscard]] double sure_hz_per_s() const noexcept;
    void reset() noexcept { *this = DriftMeter(memory_s_); }

 private:
    // Weighted means and central moments, kept by Welford's recursion.
    double memory_s_;
    double weight_ = 0.0, mean_s_ = 0.0, mean_hz_ = 0.0, time_time_ = 0.0, time_hz_ = 0.0,
           hz_hz_ = 0.0;
    double first_s_ = 0.0, last_s_ = 0.0;
};

}  // namespace skedlark::tone
