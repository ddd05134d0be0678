#include "dsp/bench/find_tone.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::bench {
namespace {

constexpr double kFrameS = 0.5;
constexpr double kStandsOutDb = 10.0;
constexpr std::ptrdiff_t kNearBins = 4;  // the line itself
constexpr std::ptrdiff_t kFarBins = 20;  // its neighbourhood
constexpr double kSilence = 1e-16;       // power a hertz; rounding to 24 bits is 100 times that
constexpr double kOwnHz = 62.0;          // nearer to the tone it may be the tone itself, moving
constexpr double kSecondToneDb = -10.0;  // as strong as this it is a second tone
constexpr double kLineWorthTellingDb = -40.0;

struct Peak {
    double frequency_hz;
    double power;  // of the line, all its bins
};

double neighbourhood(const std::vector<double>& density, std::ptrdiff_t at) {
    std::vector<double> around;
    for (std::ptrdiff_t n = kNearBins; n <= kFarBins; ++n) {
        for (const std::ptrdiff_t k : {at - n, at + n}) {
            if (k >= 1 && k < static_cast<std::ptrdiff_t>(density.size()))
                around.push_back(density[static_cast<std::size_t>(k)]);
        }
    }
    if (around.empty()) return 0.0;
    const auto middle = around.begin() + static_cast<std::ptrdiff_t>(around.size() / 2);
    std::nth_element(around.begin(), middle, around.end());
    return *middle;
}

// Highest within its own width, and well above its neighbourhood.
std::vector<Peak> peaks_of(const Periodogram& spectrum, const Band& band) {
    std::vector<Peak> peaks;
    const auto& d = spectrum.density;
    const auto size = static_cast<std::ptrdiff_t>(d.size());
    for (std::ptrdiff_t k = 2; k + 2 < size; ++k) {
        const auto at = [&](std::ptrdiff_t n) { return d[static_cast<std::size_t>(n)]; };
        if (!band.holds(static_cast<double>(k) * spectrum.bin_hz)) continue;
        bool highest = true;
        for (std::ptrdiff_t n = std::max<std::ptrdiff_t>(1, k - kNearBins + 1);
             n <= std::min(size - 1, k + kNearBins - 1); ++n) {
            highest = highest && at(n) <= at(k);
        }
        if (!highest || at(k) < kSilence ||
            at(k) < neighbourhood(d, k) * std::pow(10.0, 0.1 * kStandsOutDb))
            continue;
        const double left = std::log(at(k - 1));
        const double right = std::log(at(k + 1));
        const double curve = left - 2.0 * std::log(at(k)) + right;
        const double off = curve < 0.0 ? 0.5 * (left - right) / curve : 0.0;
        peaks.push_back({(static_cast<double>(k) + std::clamp(off, -0.5, 0.5)) * spectrum.bin_hz,
                         (at(k - 1) + at(k) + at(k + 1)) * spectrum.bin_hz});
    }
    std::sort(peaks.begin(), peaks.end(),
              [](const Peak& a, const Peak& b) { return a.power > b.power; });
    return peaks;
}

// A whole multiple of the tone, or the tone one of it.
bool is_related(double hz, double tone_hz, double bin_hz) {
    const double up = std::round(hz / tone_hz);
    if (up >= 1.0 && std::abs(hz - up * tone_hz) < (1.0 + up) * bin_hz) return true;
    const double down = std::round(tone_hz / hz);
    return down >= 2.0 && down <= 5.0 && std::abs(tone_hz - down * hz) < (1.0 + down) * bin_hz;
}

}  // namespace

Result<FoundTone> find_tone(std::span<const float> audio, double sample_rate_hz,
                            const ToneTrackConfig& config) {
    const auto spectrum = mean_periodogram(audio, sample_rate_hz, kFrameS);
    if (!spectrum) return spectrum.error();
    const std::vector<Peak> peaks = peaks_of(*spectrum, config.band);
    const auto tone = std::find_if(peaks.begin(), peaks.end(), [&](const Peak& peak) {
        return !config.pitch_hz || std::abs(peak.frequency_hz - *config.pitch_hz) <= config.span_hz;
    });
    if (tone == peaks.end()) {
        return Error{
            ErrorCode::not_found,
            config.pitch_hz
                ? fmt::format("no tone within {:g} Hz of {:g} Hz", config.span_hz, *config.pitch_hz)
                : fmt::format(
                      "no tone from {:g} to {:g} Hz: nothing stands out of the noise by {:g} "
                      "dB; is the generator on, the beat oscillator on, the tone at rest?",
                      config.band.low_hz, config.band.high_hz, kStandsOutDb)};
    }
    FoundTone found{tone->frequency_hz, spectrum->bin_hz, {}};
    for (const Peak& peak : peaks) {
        const double db = 10.0 * std::log10(peak.power / tone->power);
        if (&peak == &*tone || db < kLineWorthTellingDb ||
            std::abs(peak.frequency_hz - tone->frequency_hz) < kOwnHz ||
            is_related(peak.frequency_hz, tone->frequency_hz, spectrum->bin_hz)) {
            continue;
        }
        found.others.push_back({peak.frequency_hz, db});
    }
    if (!config.pitch_hz && !found.others.empty() &&
        found.others.front().to_tone_db > kSecondToneDb) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("two tones, {:.0f} Hz and {:.0f} Hz ({:.1f} dB weaker): leave one on, "
                        "or name the one meant with --pitch",
                        found.frequency_hz, found.others.front().frequency_hz,
                        -found.others.front().to_tone_db)};
    }
    return found;
}

}  // namespace skedlark::bench
