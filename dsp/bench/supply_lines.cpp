#include "dsp/bench/supply_lines.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

#include "dsp/bench/batch_means.h"
#include "dsp/bench/sine_fit.h"

namespace skedlark::bench {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr double kStretchS = 5.0;
constexpr double kHannNoise = 1.5;  // bins of noise under the Hann window
// Times the noise in a line: by chance once in 2e8 lines of one stretch, e^-20; hundreds are looked at.
constexpr double kStandsOut = 20.0;
// Log ratio of a line to its noise that begins to count, and where it stops to count more.
constexpr double kCountsFrom = 3.0;
constexpr double kCountsTo = 9.0;
constexpr double kBeyond = 0.1;  // above it: so that a line counts more than its own skirts
constexpr double kSilence = 1e-20;
// A multiple that is not there: just enough that of two combs with the same lines the one without gaps is
// taken.
constexpr double kMissing = -0.1;
// A lone line far up is no supply: some comb fits any line.
constexpr int kLowOrder = 3;

// Density of the noise about a line, the line itself left out.
double noise_about(const Periodogram& spectrum, double hz) {
    const double near = 1.5 + 2.0 * spectrum.bin_hz;
    const double far = 10.0;
    const double above = spectrum.noise_density(hz + near, hz + far);
    const double below =
        hz - near > 4.0 ? spectrum.noise_density(std::max(4.0, hz - far), hz - near) : above;
    return 0.5 * (above + below);
}

// Strongest bin within the reach of a line.
std::size_t strongest_near(const Periodogram& spectrum, double hz, double reach_hz) {
    const auto last = static_cast<double>(spectrum.density.size()) - 2.0;
    const auto from = static_cast<std::size_t>(
        std::clamp(std::floor((hz - reach_hz) / spectrum.bin_hz), 1.0, last));
    const auto to = static_cast<std::size_t>(
        std::clamp(std::ceil((hz + reach_hz) / spectrum.bin_hz), 1.0, last));
    const auto begin = spectrum.density.begin();
    return static_cast<std::size_t>(std::max_element(begin + static_cast<std::ptrdiff_t>(from),
                                                     begin + static_cast<std::ptrdiff_t>(to) + 1) -
                                    begin);
}

bool counts(const SupplySearch& search, double hz, double rate_hz) {
    return hz <= search.highest_hz && hz < 0.47 * rate_hz && !(search.skip && search.skip(hz));
}

struct Tuned {
    double hz = 0.0;
    double drift = 0.0;
    double sd_hz = 0.0;
};

// The strongest line, fitted; divided by its order.
Tuned tuned(std::span<const float> samples, double rate_hz, const Periodogram& spectrum,
            double rough_hz, const SupplySearch& search) {
    int best = 1;
    double most = 0.0;
    double at_hz = rough_hz;
    for (int order = 1; order <= search.highest_order; ++order) {
        const double hz = order * rough_hz;
        if (!counts(search, hz, rate_hz)) continue;
        const std::size_t bin = strongest_near(spectrum, hz, 1.5 * spectrum.bin_hz);
        const double ratio = spectrum.density[bin] / std::max(noise_about(spectrum, hz), 1e-30);
        if (ratio <= most) continue;
        most = ratio;
        best = order;
        const auto log_of = [&](std::size_t k) { return std::log(spectrum.density[k] + 1e-300); };
        const double curve = log_of(bin - 1) - 2.0 * log_of(bin) + log_of(bin + 1);
        const double off = curve < 0.0 ? 0.5 * (log_of(bin - 1) - log_of(bin + 1)) / curve : 0.0;
        at_hz = (static_cast<double>(bin) + std::clamp(off, -0.5, 0.5)) * spectrum.bin_hz;
    }
    const double length_s = static_cast<double>(samples.size()) / rate_hz;
    Tuned out{at_hz / best, 0.0, 0.0};
    const auto fit = fit_sine_5(samples, rate_hz, at_hz);
    if (fit && std::abs(fit->frequency_hz - at_hz) < 1.0 / length_s &&
        std::abs(fit->drift_hz_per_s) < 4.0 / (length_s * length_s)) {
        out.hz = fit->frequency_hz / best;
        out.drift = fit->drift_hz_per_s / best;
        out.sd_hz = least_frequency_sd_hz(std::max(fit->amplitude, 1e-12),
                                          noise_about(spectrum, at_hz), length_s) /
                    best;
    } else {
        out.sd_hz = 0.3 * spectrum.bin_hz / best;
    }
    return out;
}

std::size_t stretches_of(std::size_t samples, double rate_hz) {
    const double length_s = static_cast<double>(samples) / rate_hz;
    return static_cast<std::size_t>(std::max(1.0, std::floor(length_s / kStretchS)));
}

double phase_of(const Tuned& supply, int order, std::size_t at, std::size_t samples,
                double rate_hz) {
    const double middle = 0.5 * (static_cast<double>(samples) - 1.0);
    const double t = (static_cast<double>(at) - middle) / rate_hz;
    return kTwoPi * order * t * (supply.hz + 0.5 * supply.drift * t);
}

// Peak and phase of one line in each stretch.
std::vector<std::complex<double>> amplitudes_of(std::span<const float> samples, double rate_hz,
                                                const Tuned& supply, int order) {
    const std::size_t stretches = stretches_of(samples.size(), rate_hz);
    const std::size_t length = samples.size() / stretches;
    std::vector<std::complex<double>> out;
    for (std::size_t s = 0; s < stretches; ++s) {
        std::complex<double> sum;
        for (std::size_t n = 0; n < length; ++n) {
            const std::size_t at = s * length + n;
            const double phase = phase_of(supply, order, at, samples.size(), rate_hz);
            const double weight = 1.0 - std::cos(kTwoPi * (static_cast<double>(n) + 0.5) /
                                                 static_cast<double>(length));
            sum += weight * static_cast<double>(samples[at]) *
                   std::complex<double>(std::cos(phase), -std::sin(phase));
        }
        out.push_back(2.0 * sum / static_cast<double>(length));
    }
    return out;
}

// Mean power of one line over the stretches.
SupplyLine line_at(std::span<const float> samples, double rate_hz, const Tuned& supply, int order,
                   double density) {
    const auto length = static_cast<double>(samples.size() / stretches_of(samples.size(), rate_hz));
    const double noise = kHannNoise * density * rate_hz / length;
    std::vector<double> powers;
    for (const auto& amplitude : amplitudes_of(samples, rate_hz, supply, order))
        powers.push_back(0.5 * std::norm(amplitude) - noise);
    SupplyLine line{order, order * supply.hz};
    const auto count = static_cast<double>(powers.size());
    for (const double p : powers) line.power += p / count;
    const double variance = noise * (2.0 * std::max(line.power, 0.0) + noise) / count;
    line.power_95 = expanded_95(std::sqrt(variance));
    // A line that swells and fades is less sure than noise says.
    if (powers.size() >= 4) line.power_95 = std::max(line.power_95, mean_of(powers).uncertainty_95);
    return line;
}

SupplyLines collected(std::span<const float> samples, double rate_hz, const Periodogram& spectrum,
                      const Tuned& supply, const SupplySearch& search) {
    SupplyLines out;
    out.supply_hz = {supply.hz, expanded_95(supply.sd_hz)};
    out.drift_hz_per_s = supply.drift;
    for (int order = 1; order <= search.highest_order; ++order) {
        const double hz = order * supply.hz;
        if (!counts(search, hz, rate_hz)) continue;
        const double density = noise_about(spectrum, hz);
        const SupplyLine line = line_at(samples, rate_hz, supply, order, density);
        const double stretch_s = std::min(kStretchS, static_cast<double>(samples.size()) / rate_hz);
        const double floor = kStandsOut * kHannNoise * density / stretch_s;
        out.least_power = std::max(out.least_power, floor);
        if (line.power > floor && line.power > line.power_95) out.lines.push_back(line);
    }
    return out;
}

Status check(std::span<const float> samples, double rate_hz) {
    const double length_s = static_cast<double>(samples.size()) / rate_hz;
    if (length_s >= kLeastHumS && samples.size() <= kMostFrames) return Done{};
    return Error{
        ErrorCode::invalid_value,
        fmt::format("{:.1f} s of audio; for hum {:g} to {:.0f} s are needed, 10 s are good",
                    length_s, kLeastHumS, static_cast<double>(kMostFrames) / rate_hz)};
}

}  // namespace

double SupplyLines::power() const {
    double sum = 0.0;
    for (const SupplyLine& line : lines) sum += line.power;
    return sum;
}
double SupplyLines::power_95() const {
    double square = 0.0;
    for (const SupplyLine& line : lines) square += line.power_95 * line.power_95;
    return std::sqrt(square);
}
double SupplyLines::power_of(int order) const {
    for (const SupplyLine& line : lines) {
        if (line.order == order) return line.power;
    }
    return 0.0;
}

CombScore::CombScore(const Periodogram& spectrum, const SupplySearch& search)
    : bin_hz_(spectrum.bin_hz), search_(search) {
    const double rate_hz = 2.0 * bin_hz_ * static_cast<double>(spectrum.density.size() - 1);
    const auto bins = std::min(spectrum.density.size(),
                               static_cast<std::size_t>(search.highest_hz / bin_hz_) + 3);
    double noise = 0.0;
    double noise_at_hz = -10.0;
    for (std::size_t k = 0; k < bins; ++k) {
        const double hz = static_cast<double>(k) * bin_hz_;
        // Noise changes little within a hertz.
        if (hz - noise_at_hz > 1.0) {
            noise = noise_about(spectrum, std::max(hz + 0.5, 8.0));
            noise_at_hz = hz;
        }
        const bool there = noise > 0.0 && spectrum.density[k] > kSilence && k > 0;
        log_ratio_.push_back(there && counts(search, hz, rate_hz)
                                 ? static_cast<float>(std::log(spectrum.density[k] / noise))
                                 : 0.0F);
    }
}

double CombScore::of(double hz, int highest_order) const {
    double score = 0.0;
    bool low = false;
    for (int order = 1; order <= highest_order; ++order) {
        const double bin = order * hz / bin_hz_;
        const auto k = static_cast<std::size_t>(std::lround(bin));
        if (k + 1 >= log_ratio_.size()) break;
        if (search_.skip && search_.skip(order * hz)) continue;
        const double ratio = static_cast<double>(log_ratio_[k]);
        if (ratio < kCountsFrom) {
            score += kMissing;
            continue;
        }
        low = low || order <= kLowOrder;
        score +=
            std::min(ratio, kCountsTo) - kCountsFrom + kBeyond * std::max(0.0, ratio - kCountsTo);
    }
    return low ? score : -1.0;
}

Result<SupplyLines> find_supply(std::span<const float> samples, double rate_hz,
                                const SupplySearch& search) {
    if (const Status right = check(samples, rate_hz); !right) return right.error();
    const auto spectrum = periodogram(samples, rate_hz);
    if (!spectrum) return spectrum.error();
    const CombScore scores(*spectrum, search);
    double best = -1e9;
    double best_hz = search.from_hz;
    const double step =
        std::min(0.02, spectrum->bin_hz / static_cast<double>(search.highest_order));
    for (double hz = search.from_hz; hz <= search.to_hz; hz += step) {
        const double score = scores.of(hz, search.highest_order);
        if (score > best) {
            best = score;
            best_hz = hz;
        }
    }
    const Tuned supply = tuned(samples, rate_hz, *spectrum, best_hz, search);
    SupplyLines found = collected(samples, rate_hz, *spectrum, supply, search);
    if (found.lines.empty() || found.lines.front().order > kLowOrder) {
        found.lines.clear();
        found.supply_hz = {};
    }
    return found;
}

Result<SupplyLines> lines_of_supply(std::span<const float> samples, double rate_hz,
                                    const SupplySearch& search, const SupplyLines& supply) {
    if (const Status right = check(samples, rate_hz); !right) return right.error();
    const auto spectrum = periodogram(samples, rate_hz);
    if (!spectrum) return spectrum.error();
    return collected(samples, rate_hz, *spectrum,
                     {supply.supply_hz.value, supply.drift_hz_per_s, 0.0}, search);
}

std::vector<float> without_lines(std::span<const float> samples, double rate_hz,
                                 const SupplyLines& supply) {
    std::vector<float> out(samples.begin(), samples.end());
    const Tuned tuned_to{supply.supply_hz.value, supply.drift_hz_per_s, 0.0};
    const std::size_t stretches = stretches_of(samples.size(), rate_hz);
    const std::size_t length = samples.size() / stretches;
    for (const SupplyLine& line : supply.lines) {
        const auto amplitudes = amplitudes_of(samples, rate_hz, tuned_to, line.order);
        for (std::size_t n = 0; n < samples.size(); ++n) {
            const auto& a = amplitudes[std::min(n / length, stretches - 1)];
            const double phase = phase_of(tuned_to, line.order, n, samples.size(), rate_hz);
            out[n] -= static_cast<float>(a.real() * std::cos(phase) - a.imag() * std::sin(phase));
        }
    }
    return out;
}

}  // namespace skedlark::bench
