#include "dsp/copy/gain_scores.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

#include "dsp/copy/log_tables.h"
#include "dsp/core/vector_clones.h"

namespace skedlark::copy {
namespace {

// A frame multiplies a spread by level over noise, at most 1e12 for 24-bit audio.
constexpr std::int64_t kFramesInRange = 16;

// Plain arrays: the compiler takes several beginnings at once only of those.
struct Rows {
    double *gain_re, *gain_im, *rate_re, *rate_im, *gain_gain, *gain_rate, *rate_rate;
};

struct Frame {
    double re, im, noise, one_over_noise;
};

// exponent - ln(spread) is the ratio: a logarithm for each frame would cost more than all the rest.
SKEDLARK_VECTOR_CLONES
void update(const Rows& s, double* exponent, double* spread, const Frame& frame, std::size_t from,
            std::size_t to) {
    const double alone = (frame.re * frame.re + frame.im * frame.im) * frame.one_over_noise;
#pragma GCC ivdep
    for (std::size_t i = from; i < to; ++i) {
        const double variance = s.gain_gain[i] + frame.noise;
        const double one_over = 1.0 / variance;
        const double off_re = frame.re - s.gain_re[i];
        const double off_im = frame.im - s.gain_im[i];
        const double for_gain = s.gain_gain[i] * one_over;
        const double for_rate = s.gain_rate[i] * one_over;
        exponent[i] += alone - (off_re * off_re + off_im * off_im) * one_over;
        spread[i] *= variance * frame.one_over_noise;
        s.gain_re[i] += for_gain * off_re;
        s.gain_im[i] += for_gain * off_im;
        s.rate_re[i] += for_rate * off_re;
        s.rate_im[i] += for_rate * off_im;
        s.rate_rate[i] -= for_rate * s.gain_rate[i];
        s.gain_rate[i] *= 1.0 - for_gain;
        s.gain_gain[i] *= 1.0 - for_gain;
    }
}

SKEDLARK_VECTOR_CLONES
void predict(const GainModel::Step& step, const Rows& s, std::size_t from, std::size_t to) {
    const auto [a, b, c, d] = step.turn;
    const double gain_power = step.gain_power, rate_power = step.rate_power;
#pragma GCC ivdep
    for (std::size_t i = from; i < to; ++i) {
        const double gain_re = s.gain_re[i], gain_im = s.gain_im[i];
        s.gain_re[i] = a * gain_re + b * s.rate_re[i];
        s.gain_im[i] = a * gain_im + b * s.rate_im[i];
        s.rate_re[i] = c * gain_re + d * s.rate_re[i];
        s.rate_im[i] = c * gain_im + d * s.rate_im[i];
        const double gg = s.gain_gain[i] - gain_power;
        const double gr = s.gain_rate[i];
        const double rr = s.rate_rate[i] - rate_power;
        s.gain_gain[i] = gain_power + a * a * gg + 2.0 * a * b * gr + b * b * rr;
        s.gain_rate[i] = a * c * gg + (a * d + b * c) * gr + b * d * rr;
        s.rate_rate[i] = rate_power + c * c * gg + 2.0 * c * d * gr + d * d * rr;
    }
}

// Of a double beyond the range of the table; above 0.
inline float wide_log(const LogTables& tables, double x) {
    const auto bits = std::bit_cast<std::uint64_t>(x);
    const auto octave = static_cast<std::int32_t>(bits >> 52U) - 1023;
    const auto mantissa =
        std::bit_cast<double>((bits & 0xFFFFFFFFFFFFFULL) | 0x3FF0000000000000ULL);
    constexpr auto kLn2 = static_cast<float>(std::numbers::ln2);
    return static_cast<float>(octave) * kLn2 + tables.log(static_cast<float>(mantissa));
}

SKEDLARK_VECTOR_CLONES
void compare(const LogTables& tables, const Rows& with, const Rows& without, const double* exponent,
             const double* spread, const GainMessage& after, float* out, std::size_t from,
             std::size_t to) {
#pragma GCC ivdep
    for (std::size_t i = from; i < to; ++i) {
        const MessageMean mark =
            mean_of(after, {with.gain_re[i], with.gain_im[i], with.rate_re[i], with.rate_im[i],
                            with.gain_gain[i], with.gain_rate[i], with.rate_rate[i]});
        const MessageMean none = mean_of(
            after, {without.gain_re[i], without.gain_im[i], without.rate_re[i], without.rate_im[i],
                    without.gain_gain[i], without.gain_rate[i], without.rate_rate[i]});
        out[i] = static_cast<float>(exponent[i] + mark.exponent - none.exponent) -
                 wide_log(tables, spread[i] * mark.spread / none.spread);
    }
}

}  // namespace

void GainScores::Beliefs::set(std::size_t at, const GainState& s) {
    gain_re[at] = s.gain_re;
    gain_im[at] = s.gain_im;
    rate_re[at] = s.rate_re;
    rate_im[at] = s.rate_im;
    gain_gain[at] = s.gain_gain;
    gain_rate[at] = s.gain_rate;
    rate_rate[at] = s.rate_rate;
}

namespace {
template <typename Beliefs>
Rows rows(Beliefs& b) {
    return {b.gain_re.data(),   b.gain_im.data(),   b.rate_re.data(),  b.rate_im.data(),
            b.gain_gain.data(), b.gain_rate.data(), b.rate_rate.data()};
}
}  // namespace

void GainScores::begin(std::int64_t at) {
    oldest_ = now_ = at;
    scores_.fill(kNotCarried);
}

void GainScores::carry_on(const MarkEvidence& evidence, std::size_t from, std::size_t to) {
    const MarkEvidence::Heard& heard = evidence.heard(now_);
    if (heard.noise > 0.0) {
        const Frame frame{heard.z.real(), heard.z.imag(), heard.noise, 1.0 / heard.noise};
        update(rows(with_), exponent_.data(), spread_.data(), frame, from, to);
    }
    const GainModel::Step step = evidence.gain_model().step();
    predict(step, rows(with_), from, to);
    predict(step, rows(without_), from, to);
}

void GainScores::score(const GainMessage& after, std::size_t from, std::size_t to) {
    compare(log_tables(), rows(with_), rows(without_), exponent_.data(), spread_.data(), after,
            by_beginning_.data(), from, to);
}

void GainScores::keep_in_range() {
    if (now_ % kFramesInRange != 0) return;
    for (std::size_t i = 0; i < kRing; ++i) {
        if (spread_[i] > 0.0) exponent_[i] -= std::log(spread_[i]);
        spread_[i] = 1.0;
    }
}

void GainScores::advance(const MarkEvidence& evidence, int longest) {
    const std::size_t fresh = static_cast<std::size_t>(now_) % kRing;
    const GainState& before = evidence.gain_before(now_);
    with_.set(fresh, before);
    without_.set(fresh, before);
    exponent_[fresh] = 0.0;
    spread_[fresh] = 1.0;
    keep_in_range();
    oldest_ = std::max(oldest_, now_ + 1 - std::clamp(longest, 1, kLongestMark));
    // The ring's beginnings in one piece or two.
    const std::size_t first = static_cast<std::size_t>(oldest_) % kRing;
    const std::size_t end = fresh + 1;
    const GainMessage& after = evidence.gain_after(now_ + 1);
    if (first < end) {
        carry_on(evidence, first, end);
        score(after, first, end);
    } else {
        carry_on(evidence, first, kRing);
        carry_on(evidence, 0, end);
        score(after, first, kRing);
        score(after, 0, end);
    }
    ++now_;
    scores_.fill(kNotCarried);
    for (std::int64_t beginning = oldest_; beginning < now_; ++beginning) {
        scores_[static_cast<std::size_t>(now_ - beginning)] =
            by_beginning_[static_cast<std::size_t>(beginning) % kRing];
    }
}

}  // namespace skedlark::copy
