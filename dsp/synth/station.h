// One keyed station as it arrives: marks, note and channel together.
//
// Stage:   synth. Out: complex envelope about the receiver's tuned frequency, added to a sum.
// Units:   amplitude 1.0 = full scale.
// Shape:   any block length, in order; equal for any split.
// Time:    the first path arrives at the truth's times, the second delay_s later.
// Errors:  none; settings are checked with the scene's.
// Threads: one thread per instance.
// Source:  channel.h.
// Checked: tests/dsp/synth/station_test.cpp
#pragma once

#include <complex>
#include <optional>
#include <span>
#include <vector>

#include "dsp/synth/scene_config.h"

namespace skedlark::synth {

class StationSignal {
 public:
    StationSignal(const StationConfig& config, const std::vector<Mark>& marks, double amplitude,
                  double sample_rate_hz, std::uint64_t seed);
    void add(std::span<std::complex<double>> sum);
    // Power gain of the channel for the settled note at the last sample added, dB.
    [[nodiscard]] double channel_gain_db() const;

 private:
    struct Sent {
        double amplitude = 0.0;
        double phase = 0.0;
    };
    [[nodiscard]] Sent delayed() const;

    KeyingEdges edges_;
    TransmitterNote note_;
    double amplitude_;
    int paths_;
    double delay_frames_;
    double delay_turn_;  // phase of the settled note over the delay
    std::optional<FadingGain> first_;
    std::optional<FadingGain> second_;
    std::complex<double> first_gain_{1.0, 0.0};
    std::complex<double> second_gain_{0.0, 0.0};
    std::vector<Sent> history_;  // ring
    std::size_t newest_ = 0;
};

}  // namespace skedlark::synth
