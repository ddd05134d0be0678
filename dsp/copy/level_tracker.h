// The level a mark would have now, learned from the marks that were read.
//
// Stage:   copy. In: sampled paths and their evidence. Out: amplitude for the frames to come, and
//          how marks behave (steady, fading, rough).
// Units:   amplitude as in tone::BasebandFrame.
// Errors:  none.
// Threads: one thread per instance.
// Source:  exponential averaging; shares by expectation maximisation of the mixture in
//          mark_evidence.h.
// Checked: tests/dsp/copy/level_tracker_test.cpp
#pragma once

#include <vector>

#include "dsp/copy/mark_evidence.h"
#include "dsp/copy/path_sampler.h"

namespace skedlark::copy {

// Key closed 22 of the 50 units of PARIS.
inline constexpr double kKeyDownShare = 0.44;

// Mean tone power over the frames, noise taken off, were the key closed for the usual share of the
// time.
[[nodiscard]] double excess_amplitude(const MarkEvidence& evidence, std::int64_t from,
                                      std::int64_t to);

class LevelTracker {
 public:
    void start(double amplitude);
    // Learns from marks that end in (from, to].
    void learn(const std::vector<SampledPath>& paths, const MarkEvidence& evidence, double from,
               double to);
    [[nodiscard]] double amplitude() const;
    [[nodiscard]] const MarkMix& mix() const { return mix_; }
    // Mean key-down SNR in 2500 Hz over all marks since reset, dB.
    [[nodiscard]] double snr_2500hz_db() const;
    void reset();

 private:
    double power_sum_ = 0.0, weight_sum_ = 0.0;  // decaying
    double ratio_sum_ = 0.0, frames_sum_ = 0.0;  // over everything: tone power over noise, by frame
    double inverse_noise_sum_ = 0.0;  // over the same marks as weight_sum_, start left out
    double noise_frames_ = 0.0;
    MarkMix mix_;
};

}  // namespace skedlark::copy
