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
// Parts of a mark that are added up without their phases where the phase turns; each by the reading
// that suits it, because a chirp settles within the mark.
constexpr int kTurningParts = 4;
// Where the whole mark weighs less, its quarters say nothing: it is read as steady.
constexpr float kTurningLeast = 20.0F;
constexpr double kLogThree = 1.0986122886681098;

// ln I0(x) - x, smooth enough for straight lines between the points.
std::array<double, static_cast<std::size_t>(kTableEnd / kTableStep) + 2> make_table() {
    std::array<double, static_cast<std::size_t>(kTableEnd / kTableStep) + 2> table{};
    for (std::size_t i = 0; i < table.size(); ++i) {
        const double x = kTableStep * static_cast<double>(i);
        table[i] = std::log(std::cyl_bessel_i(0.0, x)) - x;
    }
    return table;
}

// ln(sum of share * exp(part)). Single precision is enough for a score and several times as fast.
template <std::size_t N>
double log_mix(const std::array<double, N>& shares, const std::array<float, N>& parts) {
    constexpr float kNothing = 20.0F;  // e^-20 of the largest is below single precision
    const float high = *std::max_element(parts.begin(), parts.end());
    float sum = 0.0F;
    for (std::size_t i = 0; i < N; ++i) {
        if (parts[i] > high - kNothing) {
            sum += static_cast<float>(shares[i]) * std::exp(parts[i] - high);
        }
    }
    return static_cast<double>(high + std::log(std::max(sum, 1e-30F)));
}

float magnitude(const std::complex<double>& to, const std::complex<double>& from) {
    return std::sqrt(static_cast<float>(std::norm(to - from)));
}

}  // namespace

double log_bessel_i0(double x) {
    static const auto table = make_table();
    if (x >= kTableEnd) {
        return x - 0.5 * static_cast<double>(std::log(static_cast<float>(2.0 * M_PI * x))) +
               0.125 / x;
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
      torn_(mask_ + 1),
      lost_(mask_ + 1) {}

void MarkEvidence::reset() {
    size_ = 0;
    sum_[0] = 0.0;
    weight_[0] = rough_[0] = torn_[0] = 0.0;
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
    const auto power = static_cast<double>(std::norm(frame.z));
    const double limit = 1.5 * a + kLimitDeviations * std::sqrt(variance);
    if (power > limit * limit) {
        variance *= power / (limit * limit);
    }
    const double w = frame.lost ? 0.0 : a / variance;
    // A lost frame may hold anything, no number too, which times 0 would stay in the sums for good.
    const std::complex<double> z = frame.lost ? 0.0 : std::complex<double>(frame.z);
    sum_[slot(i + 1)] = sum_[slot(i)] + w * z;
    lost_[slot(i + 1)] = lost_[slot(i)] + (frame.lost ? 1 : 0);
    weight_[slot(i + 1)] = weight_[slot(i)] + w * a;
    // A phase of its own for each frame.
    const auto own = static_cast<double>(magnitude(w * z, 0.0));
    torn_[slot(i + 1)] = torn_[slot(i)] + log_bessel_i0(2.0 * own) - w * a;
    // One short in-phase stretch ends at each frame; its ratio is spread over its frames.
    const std::int64_t from = std::max(oldest(), i + 1 - kRoughFrames);
    const auto s = static_cast<double>(magnitude(sum_[slot(i + 1)], sum_[slot(from)]));
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

void MarkEvidence::relevel(std::int64_t from, double amplitude) {
    for (std::int64_t i = from; i < size_; ++i) {
        amplitudes_[slot(i)] = amplitude;
        accumulate(i);
    }
}

MarkEvidence::Parts MarkEvidence::parts(std::int64_t from, std::int64_t to) const {
    const std::complex<double>& begin = sum_[slot(from)];
    const std::complex<double>& end = sum_[slot(to)];
    const float s = magnitude(end, begin);
    const double all = weight_[slot(to)] - weight_[slot(from)];
    const auto weight = static_cast<float>(all);
    const float one_more = 1.0F + weight;
    const auto steady = static_cast<float>(log_bessel_i0(2.0 * static_cast<double>(s)) - all);
    float turning = steady;
    if (weight > kTurningLeast) {
        double sum = 0.0;
        std::int64_t last = from;
        for (int part = 1; part <= kTurningParts; ++part) {
            const std::int64_t next = from + (to - from) * part / kTurningParts;
            const auto in_phase =
                static_cast<double>(magnitude(sum_[slot(next)], sum_[slot(last)]));
            // Whichever carries this part best; thirds of a likelihood each.
            sum +=
                std::max({log_bessel_i0(2.0 * in_phase) - weight_[slot(next)] + weight_[slot(last)],
                          rough_[slot(next)] - rough_[slot(last)],
                          torn_[slot(next)] - torn_[slot(last)]}) -
                kLogThree;
            last = next;
        }
        turning = static_cast<float>(sum);
    }
    return {steady, s * s / one_more - std::log(one_more), turning,
            static_cast<float>(rough_[slot(to)] - rough_[slot(from)]),
            static_cast<float>(torn_[slot(to)] - torn_[slot(from)])};
}

double MarkEvidence::log_ratio(std::int64_t from, std::int64_t to) const {
    const std::array<double, kReadings> shares = {mix.steady, mix.fading, mix.turning, mix.rough,
                                                  mix.torn};
    return log_mix(shares, parts(from, to));
}

MarkMix MarkEvidence::shares(std::int64_t from, std::int64_t to) const {
    const Parts part = parts(from, to);
    const double all = log_ratio(from, to);
    const auto share = [&](std::size_t i, double odds) {
        return odds * std::exp(static_cast<double>(part[i]) - all);
    };
    return {share(0, mix.steady), share(1, mix.fading), share(2, mix.turning), share(3, mix.rough),
            share(4, mix.torn)};
}

double MarkEvidence::relative_power(std::int64_t from, std::int64_t to,
                                    const MarkMix& shares) const {
    const double weight = weight_[slot(to)] - weight_[slot(from)];
    if (weight <= 0.0) {
        return 0.0;
    }
    const double no_phase = shares.turning + shares.rough + shares.torn;
    double power = (shares.steady + shares.fading) *
                   (std::norm(sum_[slot(to)] - sum_[slot(from)]) - weight) / (weight * weight);
    if (no_phase > 0.01) {
        double sum = 0.0, of = 0.0;
        for (std::int64_t i = from; i < to; ++i) {
            const tone::BasebandFrame& frame = frames_[slot(i)];
            if (frame.lost) {
                continue;
            }
            const auto noise = static_cast<double>(frame.noise_variance);
            const double a = amplitudes_[slot(i)];
            sum += (static_cast<double>(std::norm(frame.z)) - noise) / noise;
            of += a * a / noise;
        }
        power += of > 0.0 ? no_phase * sum / of : 0.0;
    }
    return power;
}

}  // namespace skedlark::copy
