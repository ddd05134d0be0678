#include "dsp/copy/mark_evidence.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

namespace skedlark::copy {
namespace {

constexpr double kTableEnd = 60.0;
constexpr double kTableStep = 0.05;

// No tone is as pure as the model: edges, modulation and echoes leave something that grows with the
// level, taken as noise this far under it. Keeps strong signals from shouting down the lengths.
// Weak tones, under kPureRatio times the noise of a frame (-9 dB in 2500 Hz), are all noise anyway
// and pay nothing.
constexpr double kModelError = 0.12;
constexpr double kPureRatio = 1.6;
// A frame louder than level plus so many noise deviations is not the tone's doing.
constexpr double kLimitDeviations = 3.5;
// Frames that are added in phase where the phase does not hold.
constexpr int kRoughFrames = 3;

// ln I0(x) - x, smooth enough for straight lines between the points.
std::array<double, static_cast<std::size_t>(kTableEnd / kTableStep) + 2> make_table() {
    std::array<double, static_cast<std::size_t>(kTableEnd / kTableStep) + 2> table{};
    for (std::size_t i = 0; i < table.size(); ++i) {
        const double x = kTableStep * static_cast<double>(i);
        table[i] = std::log(std::cyl_bessel_i(0.0, x)) - x;
    }
    return table;
}

// ln(sum of share * exp(part)); single precision is enough for a score and four times as fast.
double log_mix(const std::array<double, 3>& shares, const std::array<double, 3>& parts) {
    const double high = std::max({parts[0], parts[1], parts[2]});
    float sum = 0.0F;
    for (std::size_t i = 0; i < 3; ++i) {
        sum += static_cast<float>(shares[i]) * std::exp(static_cast<float>(parts[i] - high));
    }
    return high + static_cast<double>(std::log(sum));
}

}  // namespace

double log_bessel_i0(double x) {
    static const auto table = make_table();
    if (x >= kTableEnd) {
        return x - 0.5 * std::log(2.0 * M_PI * x) + 0.125 / x;
    }
    const double place = x * (1.0 / kTableStep);
    const auto i = static_cast<std::size_t>(place);
    const double part = place - static_cast<double>(i);
    return x + table[i] + part * (table[i + 1] - table[i]);
}

MarkEvidence::MarkEvidence(int capacity)
    : mask_(std::bit_ceil(static_cast<std::size_t>(capacity)) - 1),
      frames_(mask_ + 1),
      amplitudes_(mask_ + 1),
      sum_(mask_ + 1),
      weight_(mask_ + 1),
      rough_(mask_ + 1),
      lost_(mask_ + 1) {}

void MarkEvidence::reset() {
    size_ = 0;
    sum_[0] = 0.0;
    weight_[0] = rough_[0] = 0.0;
    lost_[0] = 0;
}

std::int64_t MarkEvidence::oldest() const {
    return std::max<std::int64_t>(0, size_ - static_cast<std::int64_t>(mask_));
}

void MarkEvidence::accumulate(std::int64_t i) {
    const tone::BasebandFrame& frame = frames_[slot(i)];
    const double a = amplitudes_[slot(i)];
    const auto noise = static_cast<double>(frame.noise_variance);
    double variance = noise + kModelError * std::max(0.0, a * a - kPureRatio * noise);
    const double magnitude = std::abs(std::complex<double>(frame.z));
    const double limit = 1.5 * a + kLimitDeviations * std::sqrt(variance);
    if (magnitude > limit) {
        variance *= (magnitude / limit) * (magnitude / limit);
    }
    const double w = frame.lost ? 0.0 : a / variance;
    // A lost frame may hold anything, no number too, which times 0 would stay in the sums for good.
    const std::complex<double> z = frame.lost ? 0.0 : std::complex<double>(frame.z);
    sum_[slot(i + 1)] = sum_[slot(i)] + w * z;
    lost_[slot(i + 1)] = lost_[slot(i)] + (frame.lost ? 1 : 0);
    weight_[slot(i + 1)] = weight_[slot(i)] + w * a;
    // One short in-phase stretch ends at each frame; its ratio is spread over its frames.
    const std::int64_t from = std::max(oldest(), i + 1 - kRoughFrames);
    const double s = std::abs(sum_[slot(i + 1)] - sum_[slot(from)]);
    const double weight = weight_[slot(i + 1)] - weight_[slot(from)];
    rough_[slot(i + 1)] =
        rough_[slot(i)] + (log_bessel_i0(2.0 * s) - weight) / static_cast<double>(i + 1 - from);
}

void MarkEvidence::append(const tone::BasebandFrame& frame, double amplitude) {
    frames_[slot(size_)] = frame;
    amplitudes_[slot(size_)] = amplitude;
    ++size_;
    accumulate(size_ - 1);
}

void MarkEvidence::relevel(std::int64_t from, const std::vector<double>& amplitudes) {
    for (std::size_t k = 0; k < amplitudes.size(); ++k) {
        const std::int64_t i = from + static_cast<std::int64_t>(k);
        amplitudes_[slot(i)] = amplitudes[k];
        accumulate(i);
    }
}

MarkEvidence::Parts MarkEvidence::parts(std::int64_t from, std::int64_t to) const {
    const double s = std::abs(sum_[slot(to)] - sum_[slot(from)]);
    const double weight = weight_[slot(to)] - weight_[slot(from)];
    const auto one_more = static_cast<float>(1.0 + weight);
    return {log_bessel_i0(2.0 * s) - weight,
            s * s / (1.0 + weight) - static_cast<double>(std::log(one_more)),
            rough_[slot(to)] - rough_[slot(from)]};
}

double MarkEvidence::log_ratio(std::int64_t from, std::int64_t to) const {
    const Parts part = parts(from, to);
    return log_mix({mix.steady, mix.fading, mix.rough}, {part.steady, part.fading, part.rough});
}

MarkMix MarkEvidence::shares(std::int64_t from, std::int64_t to) const {
    const Parts part = parts(from, to);
    const double all = log_ratio(from, to);
    return {mix.steady * std::exp(part.steady - all), mix.fading * std::exp(part.fading - all),
            mix.rough * std::exp(part.rough - all)};
}

double MarkEvidence::relative_power(std::int64_t from, std::int64_t to) const {
    const double weight = weight_[slot(to)] - weight_[slot(from)];
    if (weight <= 0.0) {
        return 0.0;
    }
    return (std::norm(sum_[slot(to)] - sum_[slot(from)]) - weight) / (weight * weight);
}

}  // namespace skedlark::copy
