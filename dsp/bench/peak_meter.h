// A level to align a receiver by: quick to follow, quiet to read, with the highest it has been.
//
// Stage:   bench. In: mono audio, in blocks. Out: level now, highest held, and how far below it.
// Units:   dBFS (0: a sine of peak 1.0), floor -200.
// Shape:   any number of samples a call; the same readings for any split.
// Time:    a reading each 1/20 s; a step of level is shown to 90 % within 2.3 times rise_s.
// Errors:  create() returns invalid_value; samples that are no numbers count as silence and are counted.
// Threads: one thread per instance; process() does not allocate.
// Source:  mean square with one time constant; the peak is of that smoothed level, so that noise's own peaks are
//          not chased. Common practice, no source.
// Checked: tests/dsp/bench/peak_meter_test.cpp
#pragma once

#include <span>

#include "dsp/core/result.h"
#include "dsp/core/units.h"

namespace skedlark::bench {

struct PeakMeterConfig {
    double sample_rate_hz = 48000.0;  // 8000 to 192000
    double rise_s = 0.15;             // time constant of the mean square, 0.02 to 5
};

struct PeakReading {
    double level_dbfs = -200.0;
    double held_dbfs = -200.0;  // since the start or release()
    double held_at_s = 0.0;
    double noise_db =
        0.0;  // deviation of the level by its own fluctuation, of the last ten readings
    bool clipped = false;  // since the last reading: the peak means nothing then
    [[nodiscard]] double below_db() const { return held_dbfs - level_dbfs; }
};

class PeakMeter {
 public:
    [[nodiscard]] static Result<PeakMeter> create(const PeakMeterConfig& config);
    // True when a new reading is there.
    bool process(std::span<const float> audio) noexcept;
    [[nodiscard]] const PeakReading& reading() const noexcept { return reading_; }
    void release() noexcept;  // lets the held level go
    [[nodiscard]] long bad_samples() const noexcept { return bad_samples_; }

 private:
    explicit PeakMeter(const PeakMeterConfig& config);
    void read() noexcept;

    static constexpr int kRecent = 10;
    PeakMeterConfig config_;
    double keep_;
    double power_ = 0.0;
    double weight_ = 0.0;  // of what was heard so far: the first moments are not taken for a rise
    double recent_db_[kRecent] = {};
    int readings_ = 0;
    FrameIndex frame_ = 0;
    FrameIndex next_reading_ = 0;
    FrameIndex step_;
    bool clipped_ = false;
    long bad_samples_ = 0;
    PeakReading reading_{};
};

}  // namespace skedlark::bench
