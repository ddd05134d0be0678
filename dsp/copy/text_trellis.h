// The text search: for several hands at once, how likely is each prefix of a character to end here.
//
// Stage:   copy. In: mark evidence, frame by frame. Out: forward sums, to be read by PathSampler.
// Units:   sums are relative: value = float * 2^(kScaleBits * exponent(t)).
// Shape:   boundary t stands between frame t - 1 and frame t; up to kMaxHands hands; the last
//          `capacity` boundaries are kept.
// Errors:  none.
// Threads: one thread per instance; advance() does not allocate.
// Source:  forward pass of an explicit-duration hidden Markov model over the code tree (Yu,
//          Artificial Intelligence 174, 2010); exact but for sums under 1e-30 of the best, which
//          vanish.
// Checked: tests/dsp/copy/text_trellis_test.cpp, against a plain double sum over all cuts.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <vector>

#include "dsp/copy/code_tree.h"
#include "dsp/copy/gain_scores.h"
#include "dsp/copy/mark_evidence.h"
#include "dsp/copy/timing_model.h"

namespace skedlark::copy {

inline constexpr int kMaxHands = 10;
inline constexpr int kScaleBits = 16;

// What follows a character, and how sending begins and pauses.
struct TrafficOdds {
    float word_gap = 0.18F;  // share of characters that end a word
    float pause = 0.02F;     // share of characters that end a stretch of sending
    float start_a_frame = 1.0F / 2000.0F;
    float change_hand = 0.02F;  // another of the hands goes on after a character
    // Keying that is no Morse: begins out of silence, begins after a character, gives way to Morse,
    // falls silent (after each of its marks), and goes on without a gap (a carrier).
    float start_stray_a_frame = 1.0F / 3000.0F;
    float enter_stray = 0.003F;
    float leave_stray = 0.003F;
    float pause_stray = 0.03F;
    float chain_stray = static_cast<float>(kStrayChainOdds);
    [[nodiscard]] double between_words() const {
        return static_cast<double>(word_gap) + static_cast<double>(pause);
    }
    [[nodiscard]] float character_gap() const { return 1.0F - word_gap - pause - enter_stray; }
};

struct HandTables {
    Timing timing;
    LengthTable dot, dash, element_gap, character_gap, word_gap;
    explicit HandTables(const Timing& t);
    HandTables() = default;
};

class TextTrellis {
 public:
    TextTrellis(const CodeTree& tree, int capacity);
    // Begins at boundary `at`, nothing being sent; hands equally likely.
    void begin(std::int64_t at, const std::vector<Timing>& hands);
    // New lengths for hands that go on; the number must stay the same.
    void retime(int hand, const Timing& timing);
    // Carries the sums on over one more frame of evidence.
    void advance(const MarkEvidence& evidence);

    // go_back() returns to the boundary of the last keep(), or begin().
    void keep();
    void go_back();
    // Scores of the gain foreseen for the marks that end now, by length.
    [[nodiscard]] std::span<const float> carried() const { return gains_.scores(); }

    [[nodiscard]] std::int64_t now() const { return now_; }
    [[nodiscard]] std::int64_t oldest() const {
        return std::max(begin_, now_ - static_cast<std::int64_t>(mask_));
    }
    [[nodiscard]] int hands() const { return count_; }
    [[nodiscard]] const HandTables& hand(int h) const { return hands_[h]; }
    [[nodiscard]] const CodeTree& tree() const { return tree_; }
    [[nodiscard]] const TrafficOdds& odds() const { return odds_; }
    // Sums at a boundary: a mark that completes node n ends here; a gap after node n ends here (n =
    // 0: a character begins); a character ends here; nothing is being sent.
    [[nodiscard]] const float* mark_end(std::int64_t t, int h) const { return row(t, h); }
    [[nodiscard]] const float* gap_end(std::int64_t t, int h) const {
        return row(t, h) + kNodeStride;
    }
    [[nodiscard]] float character_end(std::int64_t t, int h) const { return ends(h)[slot(t)]; }
    [[nodiscard]] float idle(std::int64_t t, int h) const { return side(t, h).idle; }
    // A character of this hand begins here, before hands were mixed.
    [[nodiscard]] float begins(std::int64_t t, int h) const { return side(t, h).begins; }
    [[nodiscard]] int exponent(std::int64_t t) const { return exponent_[slot(t)]; }
    // Evidence of a mark of this length that ends at t, on t's scale; 0 for lengths not asked for.
    [[nodiscard]] float mark_factor(std::int64_t t, int length) const {
        return length > kLongestMark ? 0.0F : mark_factors_[slot(t) * (kLongestMark + 1) + length];
    }
    // Brings sums of boundary `from` to the scale of the later boundary `to`.
    [[nodiscard]] float gap_factor(std::int64_t from, std::int64_t to) const {
        return scale_factor(exponent(from) - exponent(to));
    }
    // The largest of the sums for marks (gaps) that end at t.
    [[nodiscard]] float most_mark(std::int64_t t, int h) const { return side(t, h).most_mark; }
    [[nodiscard]] float most_gap(std::int64_t t, int h) const { return side(t, h).most_gap; }
    // Sums for keying that is no Morse: a mark of it ends here; a gap of it ends here.
    [[nodiscard]] float stray_mark(std::int64_t t) const { return strays_[slot(t)].mark; }
    [[nodiscard]] float stray_gap(std::int64_t t) const { return strays_[slot(t)].gap; }
    // A character of any hand ends here.
    [[nodiscard]] float character_ends(std::int64_t t) const {
        return strays_[slot(t)].character_end;
    }
    // Odds that a stray mark of this length begins where another ends.
    [[nodiscard]] float chain_odds(int length) const {
        return length < stray_chain_least_ ? 0.0F : odds_.chain_stray;
    }
    [[nodiscard]] const LengthTable& stray_marks() const { return stray_marks_; }
    [[nodiscard]] const LengthTable& stray_gaps() const { return stray_gaps_; }
    // Odds that the next character begins with hand `to` after one of hand `from`.
    [[nodiscard]] float change_odds(int from, int to) const {
        return from == to
                   ? 1.0F - odds_.change_hand + odds_.change_hand / static_cast<float>(count_)
                   : odds_.change_hand / static_cast<float>(count_);
    }

 private:
    // 2^(kScaleBits * steps), 0 where that is out of the range of sums.
    [[nodiscard]] static float scale_factor(int steps) {
        static constexpr std::array<float, 17> kFactors = {
            0.0F,    0x1p-112F, 0x1p-96F, 0x1p-80F, 0x1p-64F, 0x1p-48F, 0x1p-32F, 0x1p-16F, 1.0F,
            0x1p16F, 0x1p32F,   0x1p48F,  0x1p64F,  0x1p80F,  0x1p96F,  0x1p112F, 0x1p112F};
        static_assert(kScaleBits == 16);
        return steps < -8 ? 0.0F : kFactors[static_cast<std::size_t>(std::min(steps, 8) + 8)];
    }
    struct Side {
        float idle, begins, most_mark, most_gap;
    };
    struct Stray {
        float mark, gap, character_end;  // the last: over all hands
    };
    [[nodiscard]] std::size_t slot(std::int64_t t) const {
        return static_cast<std::size_t>(t) & mask_;
    }
    [[nodiscard]] std::size_t cell(std::int64_t t, int h) const {
        return slot(t) * kMaxHands + static_cast<std::size_t>(h);
    }
    [[nodiscard]] float* row(std::int64_t t, int h) { return &sums_[cell(t, h) * 2 * kNodeStride]; }
    [[nodiscard]] const float* row(std::int64_t t, int h) const {
        return &sums_[cell(t, h) * 2 * kNodeStride];
    }
    [[nodiscard]] Side& side(std::int64_t t, int h) { return sides_[cell(t, h)]; }
    [[nodiscard]] const Side& side(std::int64_t t, int h) const { return sides_[cell(t, h)]; }

    // Ends of characters of one hand, in a row and twice over, so that the last mask_ of them lie
    // side by side below the second place of each.
    [[nodiscard]] const float* ends(int h) const {
        return &ends_[static_cast<std::size_t>(h) * 2 * (mask_ + 1)];
    }
    void set_character_end(std::int64_t t, int h, float sum) {
        float* all = &ends_[static_cast<std::size_t>(h) * 2 * (mask_ + 1)];
        all[slot(t)] = all[slot(t) + mask_ + 1] = sum;
    }

    void factors(const MarkEvidence& evidence);
    void end_marks(int h);
    void end_gaps(int h);
    void stray();
    void begin_characters();
    void set_stray_tables();
    void rescale();

    const CodeTree& tree_;
    TrafficOdds odds_;
    std::array<HandTables, kMaxHands> hands_{};
    int count_ = 0;
    int longest_mark_ = 0, longest_gap_ = 0;
    std::size_t mask_;
    std::int64_t begin_ = 0, now_ = 0;
    std::vector<float> sums_;
    std::vector<Side> sides_;
    std::vector<float> ends_;
    std::vector<Stray> strays_;
    std::vector<int> exponent_;
    LengthTable stray_marks_, stray_gaps_;
    int stray_chain_least_ = 0;
    std::vector<float> mark_factors_;  // by boundary and length
    std::vector<float> gap_factor_;    // by length, for the boundary being made
    GainScores gains_, kept_gains_;
    std::int64_t kept_now_ = 0;
};

}  // namespace skedlark::copy
