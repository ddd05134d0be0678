#include "dsp/tone/keying_test.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <numeric>

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
// Level memories: first those of keying, then those of fading.
constexpr std::size_t kQuickMemories = 2;
constexpr std::array<double, 4> kMemories_s = {0.06, 0.15, 0.5, 1.5};
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

// Factors of a likelihood multiplied before their logarithm is taken.
constexpr std::size_t kTogether = 64;
// Two likelihoods further apart than this add up to the larger, to the last bit.
constexpr double kFarApart = 60.0;

// Sum of logarithms, most of them taken together: factors from 1e-45 to 1e45.
class LogOfProduct {
 public:
    void multiply(double factor) {
        product_ *= factor;
        if (product_ < 1e-200 || product_ > 1e200) fold();
    }
    [[nodiscard]] double value() const { return sum_ + std::log(product_); }

 private:
    void fold() {
        sum_ += std::log(product_);
        product_ = 1.0;
    }
    double product_ = 1.0;
    double sum_ = 0.0;
};

// The order of adding is one that a processor can do side by side.
constexpr std::size_t kHalf = kDecimation / 2;

float sum_of(std::array<float, kHalf>& values) {
    static_assert(kHalf % 4 == 0);
    for (std::size_t n = 0; n < kHalf / 2; ++n) values[n] += values[n + kHalf / 2];
    for (std::size_t n = 0; n < kHalf / 4; ++n) values[n] += values[n + kHalf / 4];
    return std::accumulate(values.begin(), values.begin() + kHalf / 4, 0.0F);
}

float sum_of(std::span<const float, kDecimation> values) {
    std::array<float, kHalf> sums;
    for (std::size_t n = 0; n < kHalf; ++n) sums[n] = values[n] + values[n + kHalf];
    return sum_of(sums);
}

// A block of samples turned back by a frequency, from phase 0 at its start.
class Turns {
 public:
    // Keeps the turns it has where they are as good: the phase is off by 2e-4 at the most.
    void follow(double hz) {
        if (std::abs(hz - hz_) < 0.003) return;
        hz_ = hz;
        constexpr std::size_t kLanes = 8;  // so many turns are made; each gives the one kLanes on
        const auto step = std::polar(1.0, -2.0 * std::numbers::pi * hz / kWorkRateHz);
        std::complex<double> turn = 1.0;
        for (std::size_t n = 0; n < kLanes; ++n) {
            re_[n] = static_cast<float>(turn.real());
            im_[n] = static_cast<float>(turn.imag());
            turn *= step;
        }
        const auto far_re = static_cast<float>(turn.real());
        const auto far_im = static_cast<float>(turn.imag());
        for (std::size_t n = kLanes; n < kDecimation; ++n) {
            re_[n] = re_[n - kLanes] * far_re - im_[n - kLanes] * far_im;
            im_[n] = re_[n - kLanes] * far_im + im_[n - kLanes] * far_re;
        }
    }
    [[nodiscard]] std::complex<double> sum(std::span<const float, kDecimation> audio) const {
        std::array<float, kHalf> re, im;
        for (std::size_t n = 0; n < kHalf; ++n) {
            re[n] = audio[n] * re_[n] + audio[n + kHalf] * re_[n + kHalf];
            im[n] = audio[n] * im_[n] + audio[n + kHalf] * im_[n + kHalf];
        }
        return {static_cast<double>(sum_of(re)), static_cast<double>(sum_of(im))};
    }

 private:
    double hz_ = -1e9;
    std::array<float, kDecimation> re_{}, im_{};
};

}  // namespace

KeyingTest::KeyingTest(double longest_s) {
    const auto values = static_cast<std::size_t>(longest_s / kStep_s) + 2;
    z_.reserve(values);
    variance_.reserve(values);
    in_phase_.reserve(values);
    quadrature_.reserve(values);
    level_.reserve(values);
    for (auto* likelihoods : {&mark_, &gap_}) likelihoods->reserve(values);
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
    double quick = -1e300;
    const auto wandering = gauss_markov(mean, power);
    for (std::size_t m = 0; m < kMemories; ++m) {
        double& like = m < kQuickMemories ? quick : fading;
        like = std::max(like, wandering[m]);
    }
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
    double phase_turns = 0.0;
    Turns turns;
    for (std::size_t block = 0; block < blocks; ++block) {
        const double before_end_s = length_s - (static_cast<double>(block) + 0.5) * kStep_s;
        const double hz = pitch_hz - rate_hz_per_s * before_end_s;
        turns.follow(hz);
        const std::size_t from = skipped + block * kDecimation;
        const auto back = std::polar(1.0, -2.0 * std::numbers::pi * phase_turns);
        const auto sum = turns.sum(audio.subspan(from).first<kDecimation>()) * back;
        const float weight = sum_of(weights.subspan(from).first<kDecimation>());
        phase_turns += hz * kStep_s;
        phase_turns -= std::floor(phase_turns);
        const double gain = 2.0 / std::max(static_cast<double>(weight), 1e-6);
        z_.push_back(std::complex<float>(sum * gain));
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
        const double size = std::sqrt(std::norm(carrier));
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
    LogOfProduct variances;
    for (std::size_t n = 0; n < in_phase_.size(); ++n) {
        const auto level = static_cast<double>(level_[n]);
        const double variance = 0.5 * static_cast<double>(variance_[n]) + kImpurity * level * level;
        const double offset = static_cast<double>(in_phase_[n]) - level;
        sum += offset * offset / variance;
        variances.multiply(variance);
    }
    sum = -0.5 * (sum + variances.value());
    // Each independent stretch of the running mean is a parameter fitted to the data.
    return sum - 0.5 * static_cast<double>(in_phase_.size()) / (2.0 * half_width + 1.0);
}

// Kalman filter over the level around its mean, all memories side by side.
std::array<double, KeyingTest::kMemories> KeyingTest::gauss_markov(double mean,
                                                                   double power) const {
    std::array<double, kMemories> keep, spread, state, renewal;
    std::array<double, kMemories> sum{};
    std::array<LogOfProduct, kMemories> totals;
    for (std::size_t m = 0; m < kMemories; ++m) {
        keep[m] = std::exp(-kStep_s / kMemories_s[m]);
        spread[m] = m < kQuickMemories ? std::max(power, kLeastKeying * mean * mean) : power;
        renewal[m] = spread[m] * (1.0 - keep[m] * keep[m]);
        state[m] = 0.0;
    }
    for (std::size_t n = 0; n < in_phase_.size(); ++n) {
        const double noise = 0.5 * static_cast<double>(variance_[n]);
        const double offset = static_cast<double>(in_phase_[n]) - mean;
        std::array<double, kMemories> total;
        for (std::size_t m = 0; m < kMemories; ++m) {
            total[m] = spread[m] + noise;
            const double seen = offset - state[m];
            const double gain = spread[m] / total[m];
            sum[m] += seen * seen / total[m];
            state[m] = keep[m] * (state[m] + gain * seen);
            spread[m] = keep[m] * keep[m] * spread[m] * (1.0 - gain) + renewal[m];
        }
        for (std::size_t m = 0; m < kMemories; ++m) totals[m].multiply(total[m]);
    }
    // Power and memory were chosen to suit: a neper off.
    for (std::size_t m = 0; m < kMemories; ++m) sum[m] = -0.5 * (sum[m] + totals[m].value()) - 1.0;
    return sum;
}

KeyingTest::Keyed KeyingTest::keyed() {
    Keyed best;
    double carrier = 0.0;  // mean in-phase value: share times amplitude
    double weight = 0.0;
    for (std::size_t n = 0; n < in_phase_.size(); ++n) {
        carrier += static_cast<double>(in_phase_[n] / variance_[n]);
        weight += static_cast<double>(1.0F / variance_[n]);
    }
    carrier /= weight;
    for (const double share : kShares) {
        const double amplitude = carrier / share;
        const double value = two_levels(share, amplitude);
        if (value > best.log_likelihood) best = {value, amplitude * amplitude, share};
    }
    best.log_likelihood -= std::log(static_cast<double>(kDots_s.size() * kShares.size()));
    return best;
}

// Likelihood of each value with the key down and up, the larger of the two as 1; returns the sum of
// the logarithms of what they were divided by.
double KeyingTest::compare_levels(double amplitude) {
    const double impurity = kImpurity * amplitude * amplitude;
    mark_.resize(in_phase_.size());
    gap_.resize(in_phase_.size());
    double sum = 0.0;
    LogOfProduct noises;
    for (std::size_t n = 0; n < in_phase_.size(); ++n) {
        const auto value = static_cast<double>(in_phase_[n]);
        const double noise = 0.5 * static_cast<double>(variance_[n]);
        const double offset = value - amplitude;
        const double off = -0.5 * value * value / noise;
        const double on =
            -0.5 * (offset * offset / (noise + impurity) + std::log((noise + impurity) / noise));
        const double apart = std::abs(on - off);
        const double lesser = apart < kFarApart ? std::exp(-apart) : 0.0;
        mark_[n] = on > off ? 1.0 : lesser;
        gap_[n] = on > off ? lesser : 1.0;
        sum += std::max(on, off);
        noises.multiply(noise);
    }
    return sum - 0.5 * noises.value();
}

// Forward algorithm for the key open or closed; marks last 1.9 dots on the mean. The likeliest of
// all lengths of a dot, which go side by side.
double KeyingTest::two_levels(double share, double amplitude) {
    constexpr std::size_t kDots = kDots_s.size();
    const double common = compare_levels(amplitude);
    std::array<double, kDots> leave_gap, stay, mark, product;
    std::array<double, kDots> sum{};
    for (std::size_t d = 0; d < kDots; ++d) {
        const double leave_mark = std::min(0.9, kStep_s / (1.9 * kDots_s[d]));
        leave_gap[d] = std::min(0.9, leave_mark * share / (1.0 - share));
        stay[d] = 1.0 - leave_mark - leave_gap[d];
        mark[d] = share;
    }
    for (std::size_t n = 0; n < mark_.size();) {
        product.fill(1.0);
        // A factor is at least the chance of a change of state, about 0.01.
        for (const std::size_t end = std::min(n + kTogether, mark_.size()); n < end; ++n) {
            for (std::size_t d = 0; d < kDots; ++d) {
                const double with_mark = mark[d] * mark_[n];
                const double total = with_mark + (1.0 - mark[d]) * gap_[n];
                product[d] *= total;
                mark[d] = leave_gap[d] + with_mark / total * stay[d];
            }
        }
        for (std::size_t d = 0; d < kDots; ++d) sum[d] += std::log(product[d]);
    }
    return common + *std::max_element(sum.begin(), sum.end());
}

}  // namespace skedlark::tone
