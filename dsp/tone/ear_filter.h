// One tone made pleasant to listen to: static limited, a narrow filter, an even level, a hard ceiling.
//
// Stage:   tone. In: work-rate audio and the pitch to listen at. Out: as many samples for headphones.
// Units:   audio 1.0 = full scale; hertz; levels in dBFS of the peak.
// Shape:   any number of samples a call; the same for any split.
// Time:    delayed by delay_s(), some 15 to 50 ms by the width.
// Errors:  create() returns invalid_value; process() cannot fail. No sample out is ever beyond the
//          ceiling, whatever comes in.
// Threads: one thread per instance; process() does not allocate.
// Source:  Kaiser's window for the filter (Oppenheim and Schafer, Discrete-Time Signal Processing);
//          the median of the size of the samples as what is ordinary.
// Checked: tests/dsp/tone/ear_filter_test.cpp
#pragma once

#include <complex>
#include <span>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::tone {

struct EarFilterConfig {
    double width_hz = 120.0;      // 40 to 500, between the -6 dB points
    double level_dbfs = -40.0;    // what the tone is brought to, -90 to ceiling_dbfs
    double ceiling_dbfs = -30.0;  // -80 to 0
};

class EarFilter {
 public:
    // A crash is cut to this many times the ordinary size of the samples.
    static constexpr float kCrashCut = 4.0F;
    // Silence is not brought up to the level of speech.
    static constexpr double kMostGainDb = 60.0;

    [[nodiscard]] static Result<EarFilter> create(const EarFilterConfig& config);

    // out.size() == audio.size(); may be the same memory.
    void process(std::span<const float> audio, double pitch_hz, std::span<float> out) noexcept;
    [[nodiscard]] double delay_s() const noexcept;
    void reset() noexcept;

 private:
    EarFilter(const EarFilterConfig& config, std::vector<float> weights);
    [[nodiscard]] float cut_static(float sample) noexcept;
    [[nodiscard]] std::complex<float> filtered() const noexcept;
    [[nodiscard]] float even(float size) noexcept;

    float level_;
    float ceiling_;
    std::vector<float> weights_;
    std::vector<std::complex<float>> mixed_;  // each stored twice, so that a window is one run
    std::size_t next_ = 0;
    double phase_turns_ = 0.0;
    float ordinary_ = 0.0F;
    float loudest_ = 0.0F;
};

}  // namespace skedlark::tone
