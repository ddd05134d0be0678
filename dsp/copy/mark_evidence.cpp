#include "dsp/copy/mark_evidence.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cmath>

#include "dsp/copy/log_tables.h"
#include "dsp/core/vector_clones.h"

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
// Scores are made so many at a time, until they are hopeless.
constexpr int kChunk = 32;

// Sums over the last 0, 1, 2 ... frames before a boundary, and the scores of marks so long.
struct Tails {
    alignas(32) std::array<float, kLongestMark + 1> re, im, weight, rough, torn, score;
};

// The same as plain arrays: the compiler takes several places at once only of those.
struct PlainTails {
    const float *re, *im, *weight, *rough, *torn;
    explicit PlainTails(const Tails& tails)
        : re(tails.re.data()),
          im(tails.im.data()),
          weight(tails.weight.data()),
          rough(tails.rough.data()),
          torn(tails.torn.data()) {}
    Stretch operator[](std::int32_t i) const {
        return {re[i], im[i], weight[i], rough[i], torn[i]};
    }
};

struct TailLengths {
    std::array<std::array<std::int32_t, kLongestMark + 1>, kTurningParts> after{};
    constexpr TailLengths() {
        for (int part = 0; part < kTurningParts; ++part) {
            for (int frames = 0; frames <= kLongestMark; ++frames) {
                after[part][frames] = tail_frames(frames, part);
            }
        }
    }
};
constexpr TailLengths kTails;

SKEDLARK_VECTOR_CLONES
void score_with_turning(const LogTables& tables, const Readings& shares, Tails& tails, int from,
                        int to) {
    const PlainTails at(tails);
    const std::int32_t* after1 = kTails.after[1].data();
    const std::int32_t* after2 = kTails.after[2].data();
    const std::int32_t* after3 = kTails.after[3].data();
    float* score = tails.score.data();
#pragma GCC ivdep
    for (int i = from; i < to; ++i) {
        const Stretch whole = at[i];
        const float steady = steady_score(tables, whole);
        const float turning =
            turning_score(tables, whole, at[after1[i]], at[after2[i]], at[after3[i]]);
        const float turns = whole.weight > kTurningLeast ? 1.0F : 0.0F;
        score[i] = log_mix(tables, shares, steady, fading_score(tables, whole),
                           steady + turns * (turning - steady), whole.rough, whole.torn);
    }
}

SKEDLARK_VECTOR_CLONES
void score_without_turning(const LogTables& tables, const Readings& shares, Tails& tails, int from,
                           int to) {
    const PlainTails at(tails);
    float* score = tails.score.data();
#pragma GCC ivdep
    for (int i = from; i < to; ++i) {
        const Stretch whole = at[i];
        const float steady = steady_score(tables, whole);
        score[i] = log_mix(tables, shares, steady, fading_score(tables, whole), steady, whole.rough,
                           whole.torn);
    }
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
    // What is no number, even times 0, would stay in the sums for good; a lost frame may hold that.
    const bool usable = !frame.lost && std::isfinite(power) && std::isfinite(variance);
    const double w = usable ? a / variance : 0.0;
    const std::complex<double> z = usable ? std::complex<double>(frame.z) : 0.0;
    const LogTables& tables = log_tables();
    const Sums& before = sums(i);
    Sums& after = sums_[slot(i + 1)];
    after.re = before.re + w * z.real();
    after.im = before.im + w * z.imag();
    after.weight = before.weight + w * a;
    after.lost = before.lost + (frame.lost ? 1 : 0);
    // A phase of its own for each frame.
    after.torn = before.torn + static_cast<double>(steady_score(tables, stretch(i, i + 1)));
    // One short in-phase stretch ends at each frame; its ratio is spread over its frames.
    const std::int64_t from = std::max(oldest(), i + 1 - kRoughFrames);
    const auto in_phase = static_cast<double>(steady_score(tables, stretch(from, i + 1)));
    after.rough = before.rough + in_phase / static_cast<double>(i + 1 - from);
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

Stretch MarkEvidence::stretch(std::int64_t from, std::int64_t to) const {
    const Sums& a = sums(from);
    const Sums& b = sums(to);
    return {static_cast<float>(b.re - a.re), static_cast<float>(b.im - a.im),
            static_cast<float>(b.weight - a.weight), static_cast<float>(b.rough - a.rough),
            static_cast<float>(b.torn - a.torn)};
}

Readings MarkEvidence::readings(std::int64_t from, std::int64_t to) const {
    const LogTables& tables = log_tables();
    const Stretch whole = stretch(from, to);
    const float steady = steady_score(tables, whole);
    float turning = steady;
    if (whole.weight > kTurningLeast) {
        const auto frames = static_cast<int>(to - from);
        turning = turning_score(tables, whole, stretch(to - tail_frames(frames, 1), to),
                                stretch(to - tail_frames(frames, 2), to),
                                stretch(to - tail_frames(frames, 3), to));
    }
    return {steady, fading_score(tables, whole), turning, whole.rough, whole.torn};
}

double MarkEvidence::log_mix_of(const Readings& scores) const {
    return static_cast<double>(
        log_mix(log_tables(), prior(), scores[0], scores[1], scores[2], scores[3], scores[4]));
}

Readings MarkEvidence::prior() const {
    return {static_cast<float>(mix.steady), static_cast<float>(mix.fading),
            static_cast<float>(mix.turning), static_cast<float>(mix.rough),
            static_cast<float>(mix.torn)};
}

double MarkEvidence::log_ratio(std::int64_t from, std::int64_t to) const {
    return log_mix_of(readings(from, to));
}

int MarkEvidence::log_ratios(std::int64_t to, std::span<float> out) const {
    const LogTables& tables = log_tables();
    const Readings shares = prior();
    const auto wanted = static_cast<int>(std::min(
        {static_cast<std::int64_t>(out.size()), std::int64_t{kLongestMark}, to - oldest()}));
    Tails tails;
    int known = 0;
    while (known < wanted) {
        const int next = std::min(known + kChunk, wanted);
        for (int i = known == 0 ? 0 : known + 1; i <= next; ++i) {
            const Stretch tail = stretch(to - i, to);
            tails.re[i] = tail.re;
            tails.im[i] = tail.im;
            tails.weight[i] = tail.weight;
            tails.rough[i] = tail.rough;
            tails.torn[i] = tail.torn;
        }
        // The weight grows with the length.
        (tails.weight[next] > kTurningLeast ? score_with_turning : score_without_turning)(
            tables, shares, tails, known + 1, next + 1);
        for (; known < next; ++known) {
            if (static_cast<double>(tails.score[known + 1]) < kHopelessMark) {
                return known;
            }
            out[known] = tails.score[known + 1];
        }
    }
    return known;
}

MarkMix MarkEvidence::shares(std::int64_t from, std::int64_t to) const {
    const Readings scores = readings(from, to);
    const double all = log_mix_of(scores);
    const auto share = [&](std::size_t i, double odds) {
        return odds * std::exp(static_cast<double>(scores[i]) - all);
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
    const double re = sums(to).re - sums(from).re;
    const double im = sums(to).im - sums(from).im;
    double power =
        (shares.steady + shares.fading) * (re * re + im * im - weight) / (weight * weight);
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
