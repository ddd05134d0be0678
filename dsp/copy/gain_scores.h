// What the gain foreseen says of every mark that may end here, carried on frame by frame.
//
// Stage:   copy, inside. In: evidence with the gain foreseen at its boundaries. Out: log-likelihood
//          ratios, as MarkEvidence::carried() gives for one mark.
// Units:   natural logarithms.
// Shape:   scores()[length] for marks of 1, 2 ... frames that end at now(); kNotCarried where a mark
//          would begin before begin().
// Time:    advance() carries the filters of all beginnings on over one frame.
// Errors:  none.
// Threads: one thread per instance; nothing allocates. Can be copied, to go back to an earlier time.
// Source:  as gain_model.h.
// Checked: tests/dsp/copy/gain_scores_test.cpp, against MarkEvidence::carried() and Eigen
#pragma once

#include <array>
#include <cstdint>
#include <span>

#include "dsp/copy/mark_evidence.h"

namespace skedlark::copy {

class GainScores {
 public:
    void begin(std::int64_t at);
    // Over frame now(); marks of more than `longest` frames are let go.
    void advance(const MarkEvidence& evidence, int longest);
    [[nodiscard]] std::span<const float> scores() const { return scores_; }
    [[nodiscard]] std::int64_t now() const { return now_; }

 private:
    static constexpr std::size_t kRing = 512;
    static_assert(kRing > kLongestMark);
    using Row = std::array<double, kRing>;
    struct Beliefs {
        alignas(32) Row gain_re, gain_im, rate_re, rate_im, gain_gain, gain_rate, rate_rate;
        void set(std::size_t at, const GainState& state);
    };
    void carry_on(const MarkEvidence& evidence, std::size_t from, std::size_t to);
    void keep_in_range();
    void score(const GainMessage& after, std::size_t from, std::size_t to);

    std::int64_t oldest_ = 0, now_ = 0;      // beginnings at hand: oldest_ .. now_ - 1
    Beliefs with_, without_;                 // had there been a mark, and had there been none
    alignas(32) Row exponent_{}, spread_{};  // ln of the frames' ratio: exponent - ln(spread)
    alignas(32) std::array<float, kRing> by_beginning_;
    std::array<float, kLongestMark + 1> scores_;
};

}  // namespace skedlark::copy
