#include "dsp/tone/keying_test.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "dsp/core/units.h"

namespace skedlark::tone {
namespace {

constexpr int kDecimation = 80;  // to 100 values a second: half a dot of 60 wpm
constexpr double kStep_s = kDecimation / kWorkRateHz;
constexpr int kLeastValues = 200;
// The carrier's phase is averaged over 2 s: long for an element, short for drift.
constexpr int kPhaseHalfWidth = 100;
constexpr int kSlowHalfWidth = 100;
constexpr int kFastHalfWidth = 30;
constexpr int kLevelHalfWidth = 300;
// Dots and key-down shares tried.
constexpr std::array<double, 8> kDots_s = {0.020, 0.030, 0.044, 0.065, 0.095, 0.140, 0.200, 0.300};
constexpr std::array<double, 3> kShares = {0.35, 0.44, 0.53};
// Level memories: those of keying, and those of fading.
constexpr std::array<double, 2> kQuickMemories_s = {0.06, 0.15};
constexpr std::array<double, 2> kSlowMemories_s = {0.5, 1.5};
// A verdict needs this many nepers. Tried 0 to 6: keying_test_test.cpp, wrong against unknown.
constexpr double kSureKeyed = 1.0;
constexpr double kSureSteady = 10.0;
// With less audio than this the verdict needs kShortMargin more at its shortest.
constexpr double kWhole_s = 18.0;
constexpr double kShortMargin = 3.0;
// Keying by half the time moves the level by as much power as the carrier holds; at least this
// share.
constexpr double kLeastKeying = 0.6;
// A level that wanders within a second also fits chance bunches of marks: it must do so clearly
// better. Tried 0 to 14.
constexpr double kFadingPenalty = 14.0;
// At low level two levels and a quick random one look alike; above it two levels must stand out.
constexpr double kAlike = 6.0;
// Power across the carrier's phase over that along it: keying has hardly any, voices have nearly as
// much.
constexpr double kAcross = 0.35;
// A keyed level is not quite two levels: share of its power that counts as noise.
constexpr double kImpurity = 0.01;

double gauss(double offset, double variance) {
    return -0.5 * (offset * offset / variance + std::log(variance));
}

}  // namespace

KeyingTest::KeyingTest(double longest_s) {
    const auto values = static_cast<std::size_t>(longest_s / kStep_s) + 2;
    z_.reserve(values);
    variance_.reserve(values);
    in_phase_.reserve(values);
    quadrature_.reserve(values);
    level_.reserve(values);
    sums_.reserve(values + 1);
    prefix_.reserve(values + 1);
    prefix_weight_.reserve(values + 1);
}

KeyingVerdict KeyingTest::judge(std::span<const float> audio, std::span<const float> weights,
                                double pitch_hz, double rate_hz_per_s, double noise_density) {
    KeyingVerdict verdict;
    to_baseband(audio, weights, pitch_hz, rate_hz_per_s, noise_density);
    if (static_cast<int>(z_.size()) < kLeastValues || noise_density <= 0.0) return verdict;
    if (!take_phase_off()) return verdict;

    double power = 0.0;  // of the level's changes, for the Gauss-Markov model
    double mean = 0.0;
    double variance = 0.0;
    for (std::size_t n = 0; n < in_phase_.size(); ++n) {
        mean += static_cast<double>(in_phase_[n]);
        variance += static_cast<double>(variance_[n]);
    }
    const auto count = static_cast<double>(in_phase_.size());
    mean /= count;
    variance /= count;
    for (const float value : in_phase_) power += std::pow(static_cast<double>(value) - mean, 2.0);
    power = std::max(power / count - 0.5 * variance, 0.05 * mean * mean);

    const double still = steady(kSlowHalfWidth);
    double fading = steady(kFastHalfWidth);
    for (const double memory_s : kSlowMemories_s)
        fading = std::max(fading, gauss_markov(memory_s, power));
    double quick = -1e300;
    for (const double memory_s : kQuickMemories_s)
        quick =
            std::max(quick, gauss_markov(memory_s, std::max(power, kLeastKeying * mean * mean)));
    const Keyed on_off = keyed();
    const double unkeyed = std::max(still, fading - kFadingPenalty);
    const double keyed_like = std::max(on_off.log_likelihood, quick);
    const bool two_levelled = on_off.log_likelihood > quick - kAlike;
    verdict.log_odds_keyed = keyed_like - unkeyed;
    verdict.log_odds_two_levels = on_off.log_likelihood - quick;
    verdict.amplitude_squared = mean * mean;
    const double whole = std::min(1.0, static_cast<double>(z_.size()) * kStep_s / kWhole_s);
    const double margin = kShortMargin * (1.0 - whole);
    if (verdict.log_odds_keyed > kSureKeyed + margin && two_levelled) {
        verdict.keyed = true;
        verdict.amplitude_squared = on_off.amplitude_squared;
        verdict.share = on_off.share;
    } else if (verdict.log_odds_keyed < -kSureSteady - margin) {
        verdict.keyed = false;
    }
    return verdict;
}

void KeyingTest::to_baseband(std::span<const float> audio, std::span<const float> weights,
                             double pitch_hz, double rate_hz_per_s, double noise_density) {
    z_.clear();
    variance_.clear();
    const auto blocks = audio.size() / kDecimation;
    const std::size_t skipped = audio.size() - blocks * kDecimation;
    const double length_s = static_cast<double>(blocks * kDecimation) / kWorkRateHz;
    double turns = 0.0;
    for (std::size_t block = 0; block < blocks; ++block) {
        const double before_end_s = length_s - (static_cast<double>(block) + 0.5) * kStep_s;
        const double hz = pitch_hz - rate_hz_per_s * before_end_s;
        const double start = -2.0 * std::numbers::pi * turns;
        const double step = -2.0 * std::numbers::pi * hz / kWorkRateHz;
        std::complex<float> turn(static_cast<float>(std::cos(start)),
                                 static_cast<float>(std::sin(start)));
        const std::complex<float> advance(static_cast<float>(std::cos(step)),
                                          static_cast<float>(std::sin(step)));
        float re = 0.0F;
        float im = 0.0F;
        float weight = 0.0F;
        const std::size_t from = skipped + block * kDecimation;
        for (std::size_t n = from; n < from + kDecimation; ++n) {
            re += audio[n] * turn.real();
            im += audio[n] * turn.imag();
            weight += weights[n];
            turn = {turn.real() * advance.real() - turn.imag() * advance.imag(),
                    turn.real() * advance.imag() + turn.imag() * advance.real()};
        }
        turns += hz * kStep_s;
        turns -= std::floor(turns);
        const float gain = 2.0F / std::max(weight, 1e-6F);
        z_.emplace_back(re * gain, im * gain);
        variance_.push_back(static_cast<float>(2.0 * noise_density * kWorkRateHz /
                                               std::max(static_cast<double>(weight), 1e-6)));
    }
}

// Turns each value back by the carrier's phase around it, and adds to the noise what the quadrature
// part holds beyond it: neighbours, chirp, an unsteady note.
bool KeyingTest::take_phase_off() {
    const auto count = static_cast<std::ptrdiff_t>(z_.size());
    sums_.assign(1, {});
    for (std::ptrdiff_t n = 0; n < count; ++n) {
        const auto at = static_cast<std::size_t>(n);
        sums_.push_back(sums_.back() +
                        std::complex<double>(z_[at]) / static_cast<double>(variance_[at]));
    }
    in_phase_.resize(z_.size());
    quadrature_.resize(z_.size());
    double excess = 0.0;
    double along = 0.0;
    double weight = 0.0;
    for (std::ptrdiff_t n = 0; n < count; ++n) {
        const auto from =
            static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, n - kPhaseHalfWidth));
        const auto to = static_cast<std::size_t>(std::min(count, n + kPhaseHalfWidth + 1));
        const auto carrier = sums_[to] - sums_[from];
        const double size = std::abs(carrier);
        const auto back = size > 0.0 ? std::conj(carrier) / size : std::complex<double>(1.0);
        const auto at = static_cast<std::size_t>(n);
        const auto turned = std::complex<double>(z_[at]) * back;
        in_phase_[at] = static_cast<float>(turned.real());
        quadrature_[at] = static_cast<float>(turned.imag());
        const auto variance = static_cast<double>(variance_[at]);
        excess += (2.0 * turned.imag() * turned.imag() / variance - 1.0);
        along += 2.0 * turned.real() * turned.real() / variance - 1.0;
        weight += 1.0;
    }
    // A mean square over n values has a deviation of sqrt(2 / n).
    if (!(along > 0.0) || (excess > kAcross * along && excess > 4.0 * std::sqrt(2.0 * weight)))
        return false;
    const auto factor = static_cast<float>(std::max(1.0, 1.0 + excess / weight));
    for (float& variance : variance_) variance *= factor;
    return true;
}

// Weighted running mean of the in-phase part.
void KeyingTest::smooth(int half_width) {
    const auto count = static_cast<std::ptrdiff_t>(in_phase_.size());
    prefix_.assign(1, 0.0);
    prefix_weight_.assign(1, 0.0);
    for (std::size_t n = 0; n < in_phase_.size(); ++n) {
        const double weight = 1.0 / static_cast<double>(variance_[n]);
        prefix_.push_back(prefix_.back() + weight * static_cast<double>(in_phase_[n]));
        prefix_weight_.push_back(prefix_weight_.back() + weight);
    }
    level_.resize(in_phase_.size());
    for (std::ptrdiff_t n = 0; n < count; ++n) {
        const auto from = static_cast<std::size_t>(std::max<std::ptrdiff_t>(0, n - half_width));
        const auto to = static_cast<std::size_t>(std::min(count, n + half_width + 1));
        level_[static_cast<std::size_t>(n)] = static_cast<float>(
            (prefix_[to] - prefix_[from]) / (prefix_weight_[to] - prefix_weight_[from]));
    }
}

double KeyingTest::steady(int half_width) {
    smooth(half_width);
    double sum = 0.0;
    for (std::size_t n = 0; n < in_phase_.size(); ++n) {
        const auto level = static_cast<double>(level_[n]);
        const double variance = 0.5 * static_cast<double>(variance_[n]) + kImpurity * level * level;
        sum += gauss(static_cast<double>(in_phase_[n]) - level, variance);
    }
    // Each independent stretch of the running mean is a parameter fitted to the data.
    return sum - 0.5 * static_cast<double>(in_phase_.size()) / (2.0 * half_width + 1.0);
}

double KeyingTest::gauss_markov(double memory_s, double power) const {
    double mean = 0.0;
    for (const float value : in_phase_) mean += static_cast<double>(value);
    mean /= static_cast<double>(in_phase_.size());
    const double keep = std::exp(-kStep_s / memory_s);
    double state = 0.0;
    double spread = power;
    double sum = 0.0;
    for (std::size_t n = 0; n < in_phase_.size(); ++n) {
        const double noise = 0.5 * static_cast<double>(variance_[n]);
        const double seen = static_cast<double>(in_phase_[n]) - mean - state;
        const double total = spread + noise;
        sum += gauss(seen, total);
        const double gain = spread / total;
        state = keep * (state + gain * seen);
        spread = keep * keep * spread * (1.0 - gain) + power * (1.0 - keep * keep);
    }
    return sum - 1.0;  // power and memory were chosen to suit
}

KeyingTest::Keyed KeyingTest::keyed() const {
    Keyed best;
    double carrier = 0.0;  // mean in-phase value: share times amplitude
    double weight = 0.0;
    for (std::size_t n = 0; n < in_phase_.size(); ++n) {
        carrier += static_cast<double>(in_phase_[n] / variance_[n]);
        weight += static_cast<double>(1.0F / variance_[n]);
    }
    carrier /= weight;
    for (const double dot_s : kDots_s) {
        for (const double share : kShares) {
            const double amplitude = carrier / share;
            const double value = two_levels(dot_s, share, amplitude);
            if (value > best.log_likelihood) best = {value, amplitude * amplitude, share};
        }
    }
    best.log_likelihood -= std::log(static_cast<double>(kDots_s.size() * kShares.size()));
    return best;
}

// Forward algorithm for the key open or closed; marks last 1.9 dots on the mean.
double KeyingTest::two_levels(double dot_s, double share, double amplitude) const {
    const double leave_mark = std::min(0.9, kStep_s / (1.9 * dot_s));
    const double leave_gap = std::min(0.9, leave_mark * share / (1.0 - share));
    const double impurity = kImpurity * amplitude * amplitude;
    double mark = share;
    double sum = 0.0;
    for (std::size_t n = 0; n < in_phase_.size(); ++n) {
        const auto value = static_cast<double>(in_phase_[n]);
        const double noise = 0.5 * static_cast<double>(variance_[n]);
        const double off = gauss(value, noise);
        const double on = gauss(value - amplitude, noise + impurity);
        const double top = std::max(on, off);
        const double with_mark = mark * std::exp(on - top);
        const double with_gap = (1.0 - mark) * std::exp(off - top);
        const double total = with_mark + with_gap;
        sum += top + std::log(total);
        const double marked = with_mark / total;
        mark = marked * (1.0 - leave_mark) + (1.0 - marked) * leave_gap;
    }
    return sum;
}

}  // namespace skedlark::tone
