#include "dsp/bench/tone_track.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "dsp/bench/find_tone.h"
#include "dsp/bench/pitch_track.h"
#include "dsp/spectrum/real_fft.h"

namespace skedlark::bench {
namespace {

using Complex = std::complex<double>;
constexpr double kTwoPi = 2.0 * std::numbers::pi;
// Further from even drift than this part of the notch, the notch has to follow.
constexpr double kFollowShare = 0.15;
constexpr double kSecondTone = 0.1;  // of the tone's power, within the baseband
constexpr double kFadesAt = 0.3;     // standard deviation over mean of the tone's level, by 0.1 s

// Low pass of the notch: a sinc under the Hann window, four over its width to each side.
std::vector<double> notch_taps(double rate_hz, double notch_hz) {
    const auto half = static_cast<int>(4.0 / notch_hz * rate_hz);
    std::vector<double> taps;
    double sum = 0.0;
    for (int n = -half; n <= half; ++n) {
        const double x = std::numbers::pi * n;
        const double w = notch_hz / rate_hz;
        taps.push_back((n == 0 ? w : std::sin(w * x) / x) *
                       (0.5 + 0.5 * std::cos(std::numbers::pi * n / (half + 1))));
        sum += taps.back();
    }
    for (double& tap : taps) tap /= sum;
    return taps;
}

std::vector<Complex> filtered(const std::vector<Complex>& in, const std::vector<double>& taps) {
    const auto half = static_cast<std::ptrdiff_t>(taps.size() / 2);
    const auto size = static_cast<std::ptrdiff_t>(in.size());
    std::vector<Complex> out(in.size());
    for (std::ptrdiff_t k = 0; k < size; ++k) {
        for (std::ptrdiff_t n = -half; n <= half; ++n) {
            // Beyond the ends the last value goes on.
            out[static_cast<std::size_t>(k)] +=
                taps[static_cast<std::size_t>(n + half)] *
                in[static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(k + n, 0, size - 1))];
        }
    }
    return out;
}

// What lies beside the notch, as density by frequency from the tone: first those above it, then those
// below, as the transform gives them.
struct Beside {
    std::vector<double> density;
    double bin_hz = 1.0;
    double from_hz = 0.0;  // of the tone; nearer is the notch
    [[nodiscard]] double hz(std::size_t k) const {
        return bin_hz * static_cast<double>(std::min(k, density.size() - k));
    }
    [[nodiscard]] bool counts(std::size_t k) const {
        return hz(k) >= from_hz && hz(k) <= kTrackHalfWidthHz;
    }
};

Beside beside_notch(const std::vector<Complex>& base, double rate_hz, double notch_hz) {
    Beside out;
    auto fft = spectrum::ComplexFft::create(static_cast<int>(base.size()));
    if (!fft) return out;
    double square = 0.0;
    for (std::size_t k = 0; k < base.size(); ++k) {
        const double u = static_cast<double>(k) / static_cast<double>(base.size());
        const double w = 0.5 - 0.5 * std::cos(kTwoPi * u);
        square += w * w;
        fft->input()[k] = std::complex<float>(base[k] * w);
    }
    out.bin_hz = rate_hz / static_cast<double>(base.size());
    out.from_hz = 0.75 * notch_hz;
    for (const auto& bin : fft->transform())
        out.density.push_back(0.5 * static_cast<double>(std::norm(bin)) / (square * rate_hz));
    return out;
}

// Of the noise; lines and the tone's own skirts do not count.
double noise_of(const Beside& beside) {
    std::vector<double> some;
    for (std::size_t k = 0; k < beside.density.size(); ++k) {
        if (beside.counts(k)) some.push_back(beside.density[k]);
    }
    return some.empty() ? 0.0 : median(some) / std::numbers::ln2;
}

// A second tone close by: a line that has no fellow on the other side, as modulation has.
std::optional<OtherLine> close_line(const Beside& beside, double tone_power) {
    const std::size_t size = beside.density.size();
    const auto power = [&](std::size_t k) {
        return beside.bin_hz * (beside.density[(k + size - 1) % size] + beside.density[k] +
                                beside.density[(k + 1) % size]);
    };
    std::optional<OtherLine> found;
    for (std::size_t k = 0; k < size; ++k) {
        if (!beside.counts(k) || power(k) < kSecondTone * tone_power) continue;
        const std::size_t fellow = (size - k) % size;
        double other_side = 0.0;
        for (std::size_t n = 0; n <= 2; ++n)
            other_side = std::max(other_side, power((fellow + size + n - 1) % size));
        const double db = 10.0 * std::log10(power(k) / tone_power);
        if (other_side > 0.25 * power(k) || (found && found->to_tone_db >= db)) continue;
        found = OtherLine{k <= size / 2 ? beside.hz(k) : -beside.hz(k), db};
    }
    return found;
}

// Strongest line close by that stands out, as from the tone: a sideband of hum.
std::optional<OtherLine> strongest_beside(const Beside& beside, double noise_density,
                                          double tone_power) {
    constexpr double kLeastShare = 1e-4;
    std::size_t best = 0;
    double most = 0.0;
    for (std::size_t k = 0; k < beside.density.size(); ++k) {
        if (beside.counts(k) && beside.density[k] > most) {
            most = beside.density[k];
            best = k;
        }
    }
    // Under the Hann window a line's power is its highest bin times 1.5 bins.
    const double power = 1.5 * beside.bin_hz * most;
    if (most < 30.0 * noise_density || power < kLeastShare * tone_power) return std::nullopt;
    return OtherLine{best <= beside.density.size() / 2 ? beside.hz(best) : -beside.hz(best),
                     10.0 * std::log10(power / tone_power)};
}

Status check(std::span<const float> audio, double sample_rate_hz, const ToneTrackConfig& config) {
    const double length_s = static_cast<double>(audio.size()) / sample_rate_hz;
    if (length_s < kLeastToneS) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("{:.2f} s of audio are too short to measure a tone; at least {:g} s "
                        "are needed, 10 s for SINAD to 0.2 dB",
                        length_s, kLeastToneS)};
    }
    if (audio.size() > kMostFrames) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{:.0f} s of audio are too long; at most {:.0f} s at this rate",
                                 length_s, static_cast<double>(kMostFrames) / sample_rate_hz)};
    }
    if (!(config.notch_hz >= kMinNotchHz && config.notch_hz <= kMaxNotchHz)) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("notch: {} Hz; allowed: {} to {}", config.notch_hz, kMinNotchHz,
                                 kMaxNotchHz)};
    }
    if (!(config.band.low_hz >= 0.0 && config.band.high_hz > config.band.low_hz + 100.0)) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("band: {} to {} Hz; allowed: 100 Hz wide and more",
                                 config.band.low_hz, config.band.high_hz)};
    }
    return Done{};
}

Status check_place(double hz, const ToneTrackConfig& config) {
    if (hz < kLowestToneHz || hz - config.notch_hz < config.band.low_hz ||
        hz + config.notch_hz > config.band.high_hz) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("the tone at {:.0f} Hz is at the edge of the band measured ({:g} to "
                        "{:g} Hz) or below {:g} Hz: tune it to 400 to 1000 Hz, or widen the band",
                        hz, config.band.low_hz, config.band.high_hz, kLowestToneHz)};
    }
    return Done{};
}

Status check_steady(const ToneTrack& track) {
    const auto batch = static_cast<std::size_t>(0.1 * track.notch.rate_hz);
    std::vector<double> levels;
    const auto edge = static_cast<std::size_t>(track.notch.edge_samples);
    for (std::size_t k = edge; k + batch + edge <= track.notch.samples.size(); k += batch) {
        double sum = 0.0;
        for (std::size_t n = 0; n < batch; ++n) sum += std::norm(track.notch.samples[k + n]);
        levels.push_back(std::sqrt(sum / static_cast<double>(batch)));
    }
    double mean = 0.0;
    for (const double v : levels) mean += v / static_cast<double>(levels.size());
    double square = 0.0;
    for (const double v : levels) square += (v - mean) * (v - mean);
    const double cv = std::sqrt(square / static_cast<double>(levels.size())) / mean;
    // In the notch noise alone makes the level of a weak tone swing, too.
    const double by_noise =
        track.power > 0.0
            ? std::sqrt(0.5 * track.noise_density * track.notch_noise_hz / track.power)
            : 1.0;
    if (cv > kFadesAt + by_noise) {
        return Error{
            ErrorCode::invalid_value,
            "the tone comes and goes, as if keyed or fading: a steady one is needed (for a "
            "generator switched on and off see bench sensitivity)"};
    }
    return Done{};
}

double catmull_rom(double a, double b, double c, double d, double u) {
    return b +
           0.5 * u * (c - a + u * (2.0 * a - 5.0 * b + 4.0 * c - d + u * (3.0 * (b - c) + d - a)));
}

// A value of the notch between its samples.
Complex between(const std::vector<Complex>& samples, double at) {
    const auto last = static_cast<std::ptrdiff_t>(samples.size()) - 1;
    const auto k = std::clamp<std::ptrdiff_t>(static_cast<std::ptrdiff_t>(at), 0, last);
    const double u = at - static_cast<double>(k);
    const auto s = [&](std::ptrdiff_t n) {
        return samples[static_cast<std::size_t>(std::clamp<std::ptrdiff_t>(n, 0, last))];
    };
    const Complex a = s(k - 1), b = s(k), c = s(k + 1), d = s(k + 2);
    return {catmull_rom(a.real(), b.real(), c.real(), d.real(), u),
            catmull_rom(a.imag(), b.imag(), c.imag(), d.imag(), u)};
}

// The tone within the notch and its powers, the fit being known.
Status fill_notch(ToneTrack& track, const Baseband& base, const std::vector<double>& follow,
                  double notch_hz) {
    std::vector<Complex> centred(base.samples.size());
    for (std::size_t k = 0; k < centred.size(); ++k)
        centred[k] = base.samples[k] * std::polar(1.0, -follow[k]);
    const std::vector<double> taps = notch_taps(base.rate_hz, notch_hz);
    const std::vector<Complex> inside = filtered(centred, taps);
    double squares = 0.0;
    for (const double tap : taps) squares += tap * tap;
    const double passed_hz = squares * base.rate_hz;  // noise in the notch
    const double peak_hz = taps[taps.size() / 2] * base.rate_hz;
    const Beside beside = beside_notch(centred, base.rate_hz, notch_hz);
    track.noise_density = noise_of(beside);
    track.notch_noise_hz = 2.0 * peak_hz - passed_hz;
    track.notch = base;
    track.notch.edge_samples = base.edge_samples + static_cast<int>(taps.size() / 2);
    double power = 0.0;
    Complex mean;
    int count = 0;
    for (std::size_t k = 0; k < inside.size(); ++k) {
        track.notch.samples[k] = inside[k] * std::polar(1.0, follow[k]);
        const auto edge = static_cast<std::size_t>(track.notch.edge_samples);
        if (k < edge || k + edge >= inside.size()) continue;
        power += 0.5 * std::norm(inside[k]);
        mean += track.notch.samples[k];
        ++count;
    }
    const double seconds = count / base.rate_hz;
    track.power = power / count - track.noise_density * passed_hz;
    mean /= static_cast<double>(count);
    track.wander_power = track.power - 0.5 * std::norm(mean) + track.noise_density / seconds;
    track.wander_sd = track.noise_density * std::sqrt(passed_hz / seconds);
    if (const auto sideband = strongest_beside(beside, track.noise_density, track.power)) {
        track.others.push_back(
            {track.fit.frequency_hz + sideband->frequency_hz, sideband->to_tone_db});
    }
    if (const auto close = close_line(beside, track.power)) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("two tones, {:.0f} Hz and {:.0f} Hz ({:.1f} dB to it): leave one on",
                        track.fit.frequency_hz, track.fit.frequency_hz + close->frequency_hz,
                        close->to_tone_db)};
    }
    return Done{};
}

}  // namespace

std::vector<float> ToneTrack::removed(std::span<const float> audio) const {
    std::vector<float> out(audio.size());
    for (std::size_t n = 0; n < audio.size(); ++n) {
        const double t = (static_cast<double>(n) - notch.middle_frame) / notch.sample_rate_hz;
        const double phase = kTwoPi * t * (fit.frequency_hz + 0.5 * fit.drift_hz_per_s * t);
        const Complex q =
            between(notch.samples, static_cast<double>(n) / static_cast<double>(notch.step));
        out[n] = static_cast<float>(static_cast<double>(audio[n]) - q.real() * std::cos(phase) +
                                    q.imag() * std::sin(phase));
    }
    return out;
}

std::vector<double> ToneTrack::phases(std::size_t frames) const {
    std::vector<double> out(frames);
    const bool wandering = wanders();
    double last = fit.phase_rad;
    for (std::size_t n = 0; n < frames; ++n) {
        const double t = (static_cast<double>(n) - notch.middle_frame) / notch.sample_rate_hz;
        out[n] = kTwoPi * t * (fit.frequency_hz + 0.5 * fit.drift_hz_per_s * t);
        if (wandering) {
            // Multiples of it are taken, so it must not jump by a turn.
            const double own = std::arg(
                between(notch.samples, static_cast<double>(n) / static_cast<double>(notch.step)));
            last += std::remainder(own - last, kTwoPi);
        }
        out[n] += last;
    }
    return out;
}

double ToneTrack::power_between(std::size_t from, std::size_t to) const {
    double sum = 0.0;
    int count = 0;
    for (std::size_t k = (from + notch.step - 1) / notch.step;
         k * notch.step < to && k < notch.samples.size(); ++k, ++count) {
        sum += 0.5 * std::norm(notch.samples[k]);
    }
    return count > 0 ? sum / count : 0.0;
}

Result<ToneTrack> track_tone(std::span<const float> audio, double sample_rate_hz,
                             const ToneTrackConfig& config) {
    if (const Status right = check(audio, sample_rate_hz, config); !right) return right.error();
    const auto found = find_tone(audio, sample_rate_hz, config);
    if (!found) return found.error();
    if (const Status right = check_place(found->frequency_hz, config); !right) return right.error();
    const SineFit rough{.frequency_hz = found->frequency_hz};
    const FrameTrack first =
        frame_track(to_baseband(audio, sample_rate_hz, rough, kTrackHalfWidthHz));
    const Line line = line_through(first);
    const auto [low, high] = std::minmax_element(first.hz.begin(), first.hz.end());
    if (*high - *low > 1.6 * kTrackHalfWidthHz) {
        const auto settled = without_outliers(without_outliers(first.hz));
        const auto [low2, high2] = std::minmax_element(settled.begin(), settled.end());
        if (*high2 - *low2 > 1.6 * kTrackHalfWidthHz) {
            return Error{
                ErrorCode::invalid_value,
                fmt::format("the tone moves by {:.0f} Hz: too far to be measured as one tone; "
                            "let the receiver warm up (bench drift measures the move)",
                            *high2 - *low2)};
        }
    }
    ToneTrack track;
    track.others = found->others;
    const double guess = found->frequency_hz + line.at_middle;
    const auto fit = fit_sine_5(audio, sample_rate_hz, guess, line.slope);
    // Where the tone wanders the fit may run away to somewhere else.
    const double length_s = static_cast<double>(audio.size()) / sample_rate_hz;
    const bool near = fit && std::abs(fit->frequency_hz - guess) < 2.0 / length_s + 1.0 &&
                      std::abs(fit->drift_hz_per_s - line.slope) < 4.0 / length_s;
    if (near) {
        track.fit = *fit;
    } else {
        const auto plain = fit_sine_3(audio, sample_rate_hz, guess, line.slope);
        if (!plain) return plain.error();
        track.fit = *plain;
    }
    const Baseband base = to_baseband(audio, sample_rate_hz, track.fit, kTrackHalfWidthHz);
    FrameTrack left = frame_track(base);
    left.hz = without_outliers(left.hz);
    for (const double hz : left.hz) track.furthest_hz = std::max(track.furthest_hz, std::abs(hz));
    track.followed = track.furthest_hz > kFollowShare * config.notch_hz;
    std::vector<double> follow(base.samples.size());
    if (track.followed) follow = following_phase(base, left);
    if (const Status one = fill_notch(track, base, follow, config.notch_hz); !one)
        return one.error();
    if (const Status right = check_steady(track); !right) return right.error();
    return track;
}

}  // namespace skedlark::bench
