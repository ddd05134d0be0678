#include "dsp/copy/mark_evidence.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

#include "dsp/copy/log_tables.h"

namespace skedlark::copy {
namespace {

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
constexpr float kLogThree = 1.09861229F;

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
    return static_cast<double>(high + log_tables().log(std::max(sum, 1e-30F)));
}

}  // namespace

MarkEvidence::MarkEvidence(int capacity)
    : mask_(std::bit_ceil(static_cast<std::size_t>(capacity)) - 1),
      frames_(mask_ + 1),
      amplitudes_(mask_ + 1),
      sums_(mask_ + 1) {}

void MarkEvidence::reset() {
    size_ = 0;
    sums_[0] = {};
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
    const LogTables& tables = log_tables();
    const Sums& before = sums(i);
    Sums& after = sums_[slot(i + 1)];
    after.re = before.re + w * z.real();
    after.im = before.im + w * z.imag();
    after.weight = before.weight + w * a;
    after.lost = before.lost + (frame.lost ? 1 : 0);
    // A phase of its own for each frame.
    after.torn = before.torn +
                 static_cast<double>(tables.log_bessel_i0(2.0F * magnitude(after, before))) - w * a;
    // One short in-phase stretch ends at each frame; its ratio is spread over its frames.
    const std::int64_t from = std::max(oldest(), i + 1 - kRoughFrames);
    const Sums& begin = sums(from);
    const auto in_phase = static_cast<double>(tables.log_bessel_i0(2.0F * magnitude(after, begin)));
    after.rough = before.rough +
                  (in_phase - (after.weight - begin.weight)) / static_cast<double>(i + 1 - from);
}

float MarkEvidence::magnitude(const Sums& to, const Sums& from) {
    const auto re = static_cast<float>(to.re - from.re);
    const auto im = static_cast<float>(to.im - from.im);
    return std::sqrt(re * re + im * im);
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
    const LogTables& tables = log_tables();
    const Sums& begin = sums(from);
    const Sums& end = sums(to);
    const float s = magnitude(end, begin);
    const auto weight = static_cast<float>(end.weight - begin.weight);
    const float one_more = 1.0F + weight;
    const float steady = tables.log_bessel_i0(2.0F * s) - weight;
    float turning = steady;
    if (weight > kTurningLeast) {
        turning = 0.0F;
        const Sums* last = &begin;
        for (int part = 1; part <= kTurningParts; ++part) {
            const Sums* next = &sums(from + (to - from) * part / kTurningParts);
            // Whichever carries this part best; thirds of a likelihood each.
            turning += std::max({tables.log_bessel_i0(2.0F * magnitude(*next, *last)) -
                                     static_cast<float>(next->weight - last->weight),
                                 static_cast<float>(next->rough - last->rough),
                                 static_cast<float>(next->torn - last->torn)}) -
                       kLogThree;
            last = next;
        }
    }
    return {steady, s * s / one_more - tables.log(one_more), turning,
            static_cast<float>(end.rough - begin.rough), static_cast<float>(end.torn - begin.torn)};
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
    const double weight = sums(to).weight - sums(from).weight;
    if (weight <= 0.0) {
        return 0.0;
    }
    const double no_phase = shares.turning + shares.rough + shares.torn;
    const auto in_phase = static_cast<double>(magnitude(sums(to), sums(from)));
    double power =
        (shares.steady + shares.fading) * (in_phase * in_phase - weight) / (weight * weight);
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
