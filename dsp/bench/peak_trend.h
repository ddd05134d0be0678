// Which way the level of the peak meter goes: what a hand on a trimmer wants to know.
//
// Stage:   bench. In: one PeakReading after the other. Out: rising, falling or steady; the last change.
// Units:   dB.
// Shape:   readings 1/20 s apart (peak_meter.h).
// Time:    a change is seen over kTrendS.
// Errors:  none.
// Threads: one thread per instance.
// Source:  a change counts beyond kLeastDb and three times the level's own fluctuation (our choice).
// Checked: tests/dsp/bench/peak_trend_test.cpp
#pragma once

#include <array>

#include "dsp/bench/peak_meter.h"

namespace skedlark::bench {

enum class Trend { steady, rising, falling };

class PeakTrend {
 public:
    static constexpr double kTrendS = 0.5;
    static constexpr double kLeastDb = 0.2;

    void add(const PeakReading& reading);
    [[nodiscard]] Trend now() const { return now_; }
    // The last that was no rest; steady: none yet.
    [[nodiscard]] Trend last() const { return last_; }
    [[nodiscard]] double change_db() const { return change_db_; }  // over kTrendS

 private:
    static constexpr std::size_t kReadings = 10;
    std::array<double, kReadings> levels_{};
    std::size_t count_ = 0;
    Trend now_ = Trend::steady;
    Trend last_ = Trend::steady;
    double change_db_ = 0.0;
    double rest_noise_db_ = 0.0;  // fluctuation at rest
};

}  // namespace skedlark::bench
