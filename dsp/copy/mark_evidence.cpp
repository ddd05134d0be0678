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
// And something that stays in gaps: echoes, clicks.
constexpr double kLeastError = 0.03;
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
    alignas(32) std::array<float, kLongestMark + 1> carried;
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
    const float* carried = tails.carried.data();
#pragma GCC ivdep
    for (int i = from; i < to; ++i) {
        const Stretch whole = at[i];
        const float steady = steady_score(tables, whole);
        const float turning =
            turning_score(tables, whole, at[after1[i]], at[after2[i]], at[after3[i]]);
        const float turns = whole.weight > kTurningLeast ? 1.0F : 0.0F;
        score[i] =
            log_mix(tables, shares, steady, fading_score(tables, whole),
                    steady + turns * (turning - steady), whole.rough, whole.torn, carried[i]);
    }
}

SKEDLARK_VECTOR_CLONES
void score_without_turning(const LogTables& tables, const Readings& shares, Tails& tails, int from,
                           int to) {
    const PlainTails at(tails);
    float* score = tails.score.data();
    const float* carried = tails.carried.data();
#pragma GCC ivdep
    for (int i = from; i < to; ++i) {
        const Stretch whole = at[i];
        const float steady = steady_score(tables, whole);
        score[i] = log_mix(tables, shares, steady, fading_score(tables, whole), steady, whole.rough,
                           whole.torn, carried[i]);
    }
}

}  // namespace

MarkEvidence::MarkEvidence(int capacity)
    : mask_(std::bit_ceil(static_cast<std::size_t>(capacity)) - 1),
      frames_(mask_ + 1),
      amplitudes_(mask_ + 1),
      sums_(mask_ + 1),
      foreseen_(mask_ + 1),
      heard_(mask_ + 1),
      rough_(mask_ + 1) {}

void MarkEvidence::reset() {
    size_ = 0;
    fading_ = false;
    sums_[0] = {};
}

std::int64_t MarkEvidence::oldest() const {
    return std::max<std::int64_t>(0, size_ - static_cast<std::int64_t>(mask_));
}

void MarkEvidence::accumulate(std::int64_t i, bool fresh) {
    const tone::BasebandFrame& frame = frames_[slot(i)];
    const double a = amplitudes_[slot(i)];
    const auto noise = static_cast<double>(frame.noise_variance);
    const auto power = static_cast<double>(std::norm(frame.z));
    const double impure = std::max(0.0, a * a - kPureRatio * noise);
    double variance = noise + kModelError * impure;
    if (fading_) {
        // The error goes with what is heard: a fade is believed, and little is left in gaps.
        const double heard = std::clamp(power - kPureRatio * noise, 0.0, impure);
        variance = noise + kModelError * heard + kLeastError * impure;
    }
    const double limit = 1.5 * a + kLimitDeviations * std::sqrt(noise + kModelError * impure);
    const double loud = std::max(1.0, power / (limit * limit));
    variance *= loud;
    // What is no number, even times 0, would stay in the sums for good; a lost frame may hold that.
    const bool usable = !frame.lost && std::isfinite(power) && std::isfinite(variance);
    const std::complex<double> z = usable ? std::complex<double>(frame.z) : 0.0;
    const double w = usable ? a / variance : 0.0;
    const Sums& before = sums(i);
    Sums& after = sums_[slot(i + 1)];
    after.re = before.re + w * z.real();
    after.im = before.im + w * z.imag();
    after.weight = before.weight + w * a;
    after.lost = before.lost + (frame.lost ? 1 : 0);
    heard_[slot(i)] = {z, usable ? variance : 0.0};
    // A raw note dips within its marks: there the error is that of the whole level.
    const double rough_w = usable ? a / (loud * (noise + kModelError * impure)) : 0.0;
    rough_[slot(i)] = {rough_w * z, rough_w * a};
    add_rough(i);
    // Until the marks around are read: a level as expected, its phase unknown.
    if (fresh) {
        foreseen_[slot(i + 1)] = {GainModel(kUsualChangesPerS, a * a).unknown(), {}};
    }
}

void MarkEvidence::add_rough(std::int64_t i) {
    const auto score = [&](std::int64_t from) {
        Stretch sum{};
        for (std::int64_t frame = from; frame <= i; ++frame) {
            const Rough& one = rough_[slot(frame)];
            sum.re += static_cast<float>(one.z.real());
            sum.im += static_cast<float>(one.z.imag());
            sum.weight += static_cast<float>(one.weight);
        }
        return static_cast<double>(steady_score(log_tables(), sum));
    };
    const Sums& before = sums(i);
    Sums& after = sums_[slot(i + 1)];
    // A phase of its own for each frame.
    after.torn = before.torn + score(i);
    // One short in-phase stretch ends at each frame; its ratio is spread over its frames.
    const std::int64_t from = std::max(oldest(), i + 1 - kRoughFrames);
    after.rough = before.rough + score(from) / static_cast<double>(i + 1 - from);
}

void MarkEvidence::append(const tone::BasebandFrame& frame, double amplitude) {
    if (size_ == 0) {
        expect_changes(GainModel(kUsualChangesPerS, amplitude * amplitude));
    }
    frames_[slot(size_)] = frame;
    amplitudes_[slot(size_)] = amplitude;
    ++size_;
    accumulate(size_ - 1, true);
}

void MarkEvidence::turn_back(std::int64_t from, double turn_a_frame) {
    for (std::int64_t i = from; i < size_; ++i) {
        const double angle = -turn_a_frame * static_cast<double>(i - from);
        frames_[slot(i)].z *= std::complex<float>(std::polar(1.0, angle));
    }
}

void MarkEvidence::relevel(std::int64_t from, double amplitude) {
    for (std::int64_t i = from; i < size_; ++i) {
        amplitudes_[slot(i)] = amplitude;
        accumulate(i, true);
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
    return {steady,     fading_score(tables, whole),          turning, whole.rough,
            whole.torn, static_cast<float>(carried(from, to))};
}

double MarkEvidence::carried(std::int64_t from, std::int64_t to) const {
    GainState with = gain_before(from);
    GainState without = with;
    double ratio = 0.0;
    for (std::int64_t i = from; i < to; ++i) {
        const auto& [z, noise] = heard(i);
        if (noise > 0.0) {
            ratio += GainModel::update(with, z, noise);
        }
        with = gain_model_.predict(with);
        without = gain_model_.predict(without);
    }
    const MessageMean mark = mean_of(gain_after(to), with);
    const MessageMean none = mean_of(gain_after(to), without);
    return ratio + mark.exponent - none.exponent - std::log(mark.spread / none.spread);
}

double MarkEvidence::log_mix_of(const Readings& scores) const {
    return static_cast<double>(log_mix(log_tables(), prior(), scores[0], scores[1], scores[2],
                                       scores[3], scores[4], scores[5]));
}

Readings MarkEvidence::prior() const {
    return {static_cast<float>(mix.steady),  static_cast<float>(mix.fading),
            static_cast<float>(mix.turning), static_cast<float>(mix.rough),
            static_cast<float>(mix.torn),    static_cast<float>(mix.carried)};
}

double MarkEvidence::log_ratio(std::int64_t from, std::int64_t to) const {
    return log_mix_of(readings(from, to));
}

int MarkEvidence::log_ratios(std::int64_t to, std::span<float> out, std::span<const float> carried,
                             bool quick) const {
    const LogTables& tables = log_tables();
    Readings shares = prior();
    if (carried.empty()) {
        const float rest = 1.0F / std::max(1.0F - shares.back(), 0.01F);
        shares.back() = 0.0F;
        for (float& share : shares) {
            share *= rest;
        }
    }
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
            tails.carried[i] = carried.empty() ? kNotCarried : carried[i];
        }
        // The weight grows with the length.
        (!quick && tails.weight[next] > kTurningLeast ? score_with_turning : score_without_turning)(
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
    return {share(0, mix.steady), share(1, mix.fading), share(2, mix.turning),
            share(3, mix.rough),  share(4, mix.torn),   share(5, mix.carried)};
}

double MarkEvidence::relative_power(std::int64_t from, std::int64_t to,
                                    const MarkMix& shares) const {
    const double weight = sums(to).weight - sums(from).weight;
    if (weight <= 0.0) {
        return 0.0;
    }
    // A gain that goes on from mark to mark may turn within each as well.
    const bool turns = gain_model_.changes_per_s() > kFastestFading;
    const double no_phase =
        shares.turning + shares.rough + shares.torn + (turns ? shares.carried : 0.0);
    const double in_phase = shares.steady + shares.fading + (turns ? 0.0 : shares.carried);
    const double re = sums(to).re - sums(from).re;
    const double im = sums(to).im - sums(from).im;
    double power = in_phase * (re * re + im * im - weight) / (weight * weight);
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
