// What half a second of audio says about where the tone is: power over noise in cells of half a
// hertz.
//
// Stage:   tone. In: audio with its static factors and the noise floor. Out: one ratio per cell.
// Units:   ratio of power to mean noise power: exponential with mean 1 where there is only noise.
// Shape:   kEvidenceSpan samples in; cells from 0 Hz up to half the work rate.
// Time:    holds for the middle of the samples.
// Errors:  create() passes on invalid_value; measure() cannot fail.
// Threads: one thread per instance; measure() does not allocate.
// Source:  periodogram with each sample weighed by one over its noise power.
// Checked: tests/dsp/tone/pitch_evidence_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/core/units.h"
#include "dsp/spectrum/noise_floor.h"
#include "dsp/spectrum/real_fft.h"
#include "dsp/tone/static_meter.h"

namespace skedlark::tone {

inline constexpr int kEvidenceSpan = 4096;
inline constexpr int kEvidenceTransform = 16384;
inline constexpr double kEvidenceCellHz = kWorkRateHz / kEvidenceTransform;
inline constexpr int kEvidenceCells = kEvidenceTransform / 2;
// Static factors that cover the audio, one for every kStaticHop samples.
inline constexpr int kEvidenceFactors = kEvidenceSpan / kStaticHop + 1;

class PitchEvidence {
 public:
    [[nodiscard]] static Result<PitchEvidence> create();
    // density: noise density by bin of density_bin_hz. Only cells from_cell up to below to_cell are
    // filled.
    void measure(std::span<const float> audio, std::span<const float> static_factors,
                 std::span<const float> density, double density_bin_hz, int from_cell,
                 int to_cell) noexcept;
    [[nodiscard]] std::span<const float> ratio() const noexcept { return ratio_; }

 private:
    explicit PitchEvidence(spectrum::RealFft fft);
    spectrum::RealFft fft_;
    std::vector<float> window_;
    std::vector<float> ratio_;
};

}  // namespace skedlark::tone
