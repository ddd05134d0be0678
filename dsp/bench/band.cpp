#include "dsp/bench/band.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

#include "dsp/spectrum/real_fft.h"
#include "dsp/spectrum/window.h"

namespace skedlark::bench {
namespace {

constexpr std::size_t kFewestFrames = 64;

Status check_length(std::size_t frames) {
    if (frames >= kFewestFrames && frames <= kMostFrames) return Done{};
    return Error{ErrorCode::invalid_value,
                 fmt::format("{} samples; allowed: {} to {}", frames, kFewestFrames, kMostFrames)};
}

// Lengths of small prime factors are much quicker; the rest is filled with zeros.
int good_size(std::size_t frames) {
    for (std::size_t size = frames;; ++size) {
        std::size_t rest = size;
        for (const std::size_t prime : {2U, 3U, 5U}) {
            while (rest % prime == 0) rest /= prime;
        }
        if (rest == 1) return static_cast<int>(size);
    }
}

double mean_of_all(std::span<const float> audio) {
    double sum = 0.0;
    for (const float x : audio) sum += static_cast<double>(x);
    return sum / static_cast<double>(audio.size());
}

}  // namespace

Result<BandAudio> cut_to_band(std::span<const float> audio, double sample_rate_hz,
                              const Band& band) {
    if (const Status right = check_length(audio.size()); !right) return right.error();
    const int size = std::min(good_size(audio.size()), static_cast<int>(kMostFrames));
    auto forth = spectrum::ComplexFft::create(size);
    if (!forth) return forth.error();
    const auto fade = static_cast<std::size_t>(kFadeShare * static_cast<double>(audio.size())) + 1;
    const double mean = mean_of_all(audio);
    const auto input = forth->input();
    std::fill(input.begin(), input.end(), std::complex<float>{});
    for (std::size_t n = 0; n < audio.size(); ++n) {
        const std::size_t edge = std::min(n, audio.size() - 1 - n);
        const double weight =
            edge >= fade ? 1.0
                         : 0.5 - 0.5 * std::cos(std::numbers::pi * static_cast<double>(edge) /
                                                static_cast<double>(fade));
        input[n] = static_cast<float>((static_cast<double>(audio[n]) - mean) * weight);
    }
    const auto bins = forth->transform();
    std::vector<std::complex<float>> kept(static_cast<std::size_t>(size));
    const double bin_hz = sample_rate_hz / size;
    for (int k = 0; k <= size / 2; ++k) {
        if (!band.holds(k * bin_hz)) continue;
        // The transform of the conjugate is the conjugate of the way back.
        kept[static_cast<std::size_t>(k)] = std::conj(bins[static_cast<std::size_t>(k)]);
    }
    std::copy(kept.begin(), kept.end(), input.begin());
    const auto back = forth->transform();
    BandAudio out;
    out.audio.resize(audio.size());
    for (std::size_t n = 0; n < audio.size(); ++n) {
        out.audio[n] = 2.0F * back[n].real() / static_cast<float>(size);
    }
    out.from = fade;
    out.to = audio.size() - fade;
    return out;
}

double Periodogram::noise_density(double from_hz, double to_hz) const {
    const auto last = static_cast<double>(density.size()) - 1.0;
    const auto low = static_cast<std::size_t>(std::clamp(std::ceil(from_hz / bin_hz), 1.0, last));
    const auto high = static_cast<std::size_t>(std::clamp(std::floor(to_hz / bin_hz), 1.0, last));
    if (high < low) return 0.0;
    std::vector<double> some(density.begin() + static_cast<std::ptrdiff_t>(low),
                             density.begin() + static_cast<std::ptrdiff_t>(high) + 1);
    const auto middle = some.begin() + static_cast<std::ptrdiff_t>(some.size() / 2);
    std::nth_element(some.begin(), middle, some.end());
    return *middle / std::numbers::ln2;
}

Result<Periodogram> periodogram(std::span<const float> audio, double sample_rate_hz) {
    if (const Status right = check_length(audio.size()); !right) return right.error();
    const int size = std::min(good_size(audio.size()), static_cast<int>(kMostFrames));
    auto fft = spectrum::RealFft::create(size);
    if (!fft) return fft.error();
    const double mean = mean_of_all(audio);
    const auto input = fft->input();
    std::fill(input.begin(), input.end(), 0.0F);
    double square = 0.0;
    for (std::size_t n = 0; n < audio.size(); ++n) {
        const double weight = 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * static_cast<double>(n) /
                                                   static_cast<double>(audio.size()));
        square += weight * weight;
        input[n] = static_cast<float>((static_cast<double>(audio[n]) - mean) * weight);
    }
    Periodogram out;
    out.bin_hz = sample_rate_hz / size;
    for (const auto& bin : fft->transform()) {
        out.density.push_back(2.0 * static_cast<double>(std::norm(bin)) /
                              (square * sample_rate_hz));
    }
    return out;
}

Result<Periodogram> mean_periodogram(std::span<const float> audio, double sample_rate_hz,
                                     double frame_s) {
    if (const Status right = check_length(audio.size()); !right) return right.error();
    const auto wanted = static_cast<unsigned>(frame_s * sample_rate_hz);
    const std::size_t size =
        std::min<std::size_t>(std::bit_floor(std::max(wanted, 64U)), std::bit_floor(audio.size()));
    auto fft = spectrum::RealFft::create(static_cast<int>(size));
    if (!fft) return fft.error();
    const auto window =
        spectrum::make_window(spectrum::WindowKind::hann, static_cast<int>(size)).weights;
    double square = 0.0;
    for (const float w : window) square += static_cast<double>(w) * static_cast<double>(w);
    Periodogram out;
    out.bin_hz = sample_rate_hz / static_cast<double>(size);
    out.density.assign(size / 2 + 1, 0.0);
    int frames = 0;
    for (std::size_t at = 0; at + size <= audio.size(); at += size / 2, ++frames) {
        const auto frame = audio.subspan(at, size);
        const auto mean = static_cast<float>(mean_of_all(frame));
        const auto input = fft->input();
        for (std::size_t n = 0; n < size; ++n) input[n] = (frame[n] - mean) * window[n];
        const auto bins = fft->transform();
        for (std::size_t k = 0; k < out.density.size(); ++k) {
            out.density[k] +=
                2.0 * static_cast<double>(std::norm(bins[k])) / (square * sample_rate_hz);
        }
    }
    for (double& d : out.density) d /= frames;
    return out;
}

}  // namespace skedlark::bench
