// The pitch of a tone at a glance, while a hand is on the dial: as quickly as its level allows.
//
// Stage:   tone. In: work-rate audio. Out: a pitch four times a second, where a tone stands out.
// Units:   hertz, seconds from the first sample.
// Shape:   any number of samples a call; the same glances for any split.
// Time:    at_s is the end of the audio looked at. Looks of 0.5, 2 and 6 s: the shortest in which a
//          tone stands out is taken, so that a strong one is followed as it moves and a weak one is
//          still seen at rest. Nothing comes in the first second: the noise is measured then.
// Errors:  create() returns invalid_value. Samples that are not finite count as 0.
// Threads: one thread per instance.
// Source:  sum of square-law looks against a threshold of constant false-alarm rate (gamma
//          distribution), noise by noise_floor.h; peak by a parabola through the logarithms.
//          Where the tone of the last glances is still there, it is kept to; otherwise the strongest.
// Checked: tests/dsp/tone/glance_test.cpp
#pragma once

#include <array>
#include <deque>
#include <optional>
#include <span>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/spectrum/noise_floor.h"
#include "dsp/spectrum/stft.h"

namespace skedlark::tone {

struct GlanceConfig {
    double low_hz = 200.0;               // 50 to below high_hz
    double high_hz = 3000.0;             // to 3900
    double false_alarms_per_hour = 6.0;  // of noise alone, 0.001 to 1000
};

struct Glance {
    double at_s = 0.0;
    double pitch_hz = 0.0;
    double pitch_sd_hz = 0.0;
    double look_s = 0.0;
};

class GlanceMeter {
 public:
    [[nodiscard]] static Result<GlanceMeter> create(const GlanceConfig& config);

    // Appends what was seen.
    void process(std::span<const float> audio, std::vector<Glance>& out);

 private:
    static constexpr std::size_t kLooks = 3;
    GlanceMeter(const GlanceConfig& config, spectrum::Stft stft, spectrum::NoiseFloor floor);
    void take_row(std::span<const float> row, std::vector<Glance>& out);
    [[nodiscard]] std::optional<Glance> look(std::size_t which) const;

    GlanceConfig config_;
    spectrum::Stft stft_;
    spectrum::NoiseFloor floor_;
    int first_bin_, end_bin_;
    std::array<double, kLooks> thresholds_{};       // of the mean over noise
    std::array<std::vector<double>, kLooks> sums_;  // of power over noise, over the look's rows
    std::deque<std::vector<float>> rows_;           // power over noise, latest last
    std::vector<float> finite_;
    std::int64_t rows_seen_ = 0;
    std::optional<Glance> last_;
};

}  // namespace skedlark::tone
