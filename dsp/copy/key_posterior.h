// How likely the key is down at each frame, whatever the text: marks and gaps of this hand alone.
//
// Stage:   copy. In: mark evidence and the lengths of the hand. Out: shares from 0 to 1, a frame
//          each, for GainTracker.
// Units:   frames.
// Shape:   boundary t stands between frame t - 1 and frame t; the last `capacity` boundaries are
//          kept.
// Time:    advance() is the forward pass, a frame at a time; down() the backward pass from now.
// Errors:  none.
// Threads: one thread per instance; advance() does not allocate.
// Source:  forward-backward algorithm of an explicit-duration hidden Markov model (Yu, Artificial
//          Intelligence 174, 2010) of two states, mark and gap.
// Checked: tests/dsp/copy/key_posterior_test.cpp: shares against what was keyed
#pragma once

#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <span>
#include <vector>

#include "dsp/copy/mark_evidence.h"
#include "dsp/copy/timing_model.h"

namespace skedlark::copy {

class KeyPosterior {
 public:
    explicit KeyPosterior(int capacity);
    // Begins at boundary `at`, nothing being sent.
    void begin(std::int64_t at, const Timing& hand);
    void retime(const Timing& hand);
    // Carries the sums on over one more frame of evidence.
    void advance(const MarkEvidence& evidence);
    // out[i]: the share of all ways to cut the audio up to now in which frame from + i lies in a
    // mark; out ends at now. from: not before oldest().
    void down(std::int64_t from, std::span<float> out) const;

    [[nodiscard]] std::int64_t now() const { return now_; }
    [[nodiscard]] std::int64_t oldest() const;

 private:
    // Odds of each length from 1 frame on; at_least beside it for what is still under way.
    struct Lengths {
        std::vector<float> odds, at_least;
        int first = 1;
        [[nodiscard]] int last() const { return static_cast<int>(odds.size()) - 1; }
    };
    static Lengths mix(std::span<const Length> kinds, std::span<const float> shares, int longest);
    [[nodiscard]] std::size_t slot(std::int64_t t) const {
        return static_cast<std::size_t>(t) & mask_;
    }
    [[nodiscard]] float& factor(std::int64_t t, int length) {
        return factors_[slot(t) * (kLongestMark + 1) + static_cast<std::size_t>(length)];
    }
    [[nodiscard]] float factor(std::int64_t t, int length) const {
        return factors_[slot(t) * (kLongestMark + 1) + static_cast<std::size_t>(length)];
    }
    // Sums of boundary `from` on the scale of the later boundary `to`.
    [[nodiscard]] double gap_factor(std::int64_t from, std::int64_t to) const {
        const int steps = sums_[slot(from)].exponent - sums_[slot(to)].exponent;
        return steps < -1000 ? 0.0
                             : std::bit_cast<double>(
                                   static_cast<std::uint64_t>(std::min(steps, 100) + 1023) << 52U);
    }

    struct After {
        double mark_end = 0.0, mark_begin = 0.0, idle = 0.0;
    };
    [[nodiscard]] After after(std::int64_t t, std::span<const After> later) const;
    [[nodiscard]] double total() const;

    std::size_t mask_;
    std::int64_t begin_ = 0, now_ = 0;
    Lengths marks_, gaps_;
    // Forward sums at each boundary, over 2^exponent: a mark ends here, a mark begins here,
    // nothing is being sent. longest: marks ending here have a factor up to this length.
    struct Sums {
        double mark_end = 0.0, mark_begin = 0.0, idle = 0.0;
        int exponent = 0, longest = 0;
    };
    std::vector<Sums> sums_;
    std::vector<float> factors_;  // evidence of the mark of each length that ends here, scaled
};

}  // namespace skedlark::copy
