#include "dsp/tone/pitch_evidence.h"

#include <algorithm>
#include <cmath>

#include "dsp/spectrum/window.h"

namespace skedlark::tone {
namespace {
constexpr double kLeastNoise = 1e-10;
}

Result<PitchEvidence> PitchEvidence::create() {
    auto fft = spectrum::RealFft::create(kEvidenceTransform);
    if (!fft) return fft.error();
    return PitchEvidence(std::move(*fft));
}

PitchEvidence::PitchEvidence(spectrum::RealFft fft)
    : fft_(std::move(fft)),
      window_(spectrum::make_window(spectrum::WindowKind::hann, kEvidenceSpan).weights),
      ratio_(kEvidenceCells) {}

void PitchEvidence::measure(std::span<const float> audio, std::span<const float> static_factors,
                            std::span<const float> density, double density_bin_hz, int from_cell,
                            int to_cell) noexcept {
    const auto input = fft_.input();  // beyond the audio it holds the zeros it was made with
    double energy = 0.0;
    double weight_energy = 0.0;  // noise power that the weights let through, over its density
    for (std::size_t from = 0; from < audio.size(); from += kStaticHop) {
        const float weight = 1.0F / static_factors[from / kStaticHop];
        for (std::size_t n = from; n < std::min(from + kStaticHop, audio.size()); ++n) {
            input[n] = audio[n] * window_[n] * weight;
            energy += static_cast<double>(audio[n] * audio[n]);
            weight_energy += static_cast<double>(window_[n] * window_[n] * weight);
        }
    }
    const auto bins = fft_.transform();
    // Rounding is no evidence: noise is taken to be no quieter than this below the whole audio.
    const double least =
        kLeastNoise * energy / (static_cast<double>(audio.size()) * kWorkRateHz / 2.0);
    const double noise_gain = weight_energy * kWorkRateHz / 2.0;
    const double density_bins_per_cell = kEvidenceCellHz / density_bin_hz;
    for (int cell = std::max(0, from_cell); cell < std::min(to_cell, kEvidenceCells); ++cell) {
        const double at = cell * density_bins_per_cell;
        const auto bin = std::min(static_cast<std::size_t>(at), density.size() - 2);
        const double part = at - static_cast<double>(bin);
        const double smooth = (1.0 - part) * static_cast<double>(density[bin]) +
                              part * static_cast<double>(density[bin + 1]);
        const double here = std::max(smooth, least);
        const auto index = static_cast<std::size_t>(cell);
        const auto power = static_cast<double>(std::norm(bins[index]));
        ratio_[index] = here > 0.0 ? static_cast<float>(power / (here * noise_gain)) : 0.0F;
    }
}

}  // namespace skedlark::tone
