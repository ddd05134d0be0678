#include "dsp/copy/text_trellis.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

#include "dsp/copy/length_sum.h"
#include "dsp/copy/log_tables.h"
#include "dsp/core/vector_clones.h"

namespace skedlark::copy {
namespace {

// Contributions this much under the scale of a boundary are left out.
constexpr float kNegligible = 1e-24F;

SKEDLARK_VECTOR_CLONES
void add_scaled(float* __restrict sum, const float* __restrict values, float factor) {
    for (int n = 0; n < kNodeStride; ++n) {
        sum[n] += factor * values[n];
    }
}

}  // namespace

HandTables::HandTables(const Timing& t)
    : timing(t),
      dot(length_table(t.dot)),
      dash(length_table(t.dash)),
      element_gap(length_table(t.element_gap)),
      character_gap(length_table(t.character_gap)),
      word_gap(length_table(t.word_gap)) {}

TextTrellis::TextTrellis(const CodeTree& tree, int capacity)
    : tree_(tree),
      mask_(std::bit_ceil(static_cast<std::size_t>(capacity)) - 1),
      sums_((mask_ + 1) * kMaxHands * 2 * kNodeStride),
      sides_((mask_ + 1) * kMaxHands),
      ends_(kMaxHands * 2 * (mask_ + 1)),
      strays_(mask_ + 1),
      exponent_(mask_ + 1),
      mark_factors_((mask_ + 1) * (kLongestMark + 1)),
      gap_factor_(mask_ + 1) {}

void TextTrellis::begin(std::int64_t at, const std::vector<Timing>& hands) {
    count_ = std::min<int>(kMaxHands, static_cast<int>(hands.size()));
    begin_ = now_ = at;
    gains_.begin(at);
    exponent_[slot(at)] = 0;
    for (int h = 0; h < count_; ++h) {
        hands_[h] = HandTables(hands[h]);
        std::fill_n(row(at, h), 2 * kNodeStride, 0.0F);
        const float share = 1.0F / static_cast<float>(count_);
        const float begins = share * odds_.start_a_frame;
        side(at, h) = {share, begins, 0.0F, begins};
        set_character_end(at, h, 0.0F);
        row(at, h)[kNodeStride] = begins;
    }
    strays_[slot(at)] = {0.0F, odds_.start_stray_a_frame, 0.0F};
    set_stray_tables();
    keep();
}

void TextTrellis::keep() {
    kept_now_ = now_;
    kept_gains_ = gains_;
}

void TextTrellis::go_back() {
    now_ = kept_now_;
    gains_ = kept_gains_;
}

void TextTrellis::retime(int hand, const Timing& timing) {
    hands_[hand] = HandTables(timing);
    if (hand == 0) {
        set_stray_tables();
    }
}

void TextTrellis::set_stray_tables() {
    const double dot = hands_[0].timing.dot.mean_frames;
    const auto last = [&](double mean) { return static_cast<int>(std::ceil(4.0 * mean)); };
    stray_marks_ = stray_table(
        kStrayMarkDots * dot, stray_least(dot),
        std::min(kLongestMark, std::max(last(kStrayMarkDots * dot), hands_[0].dash.last())));
    stray_chain_least_ = static_cast<int>(kStrayChainDots * dot);
    stray_gaps_ = stray_table(kStrayGapDots * dot, stray_least(dot), last(kStrayGapDots * dot));
}

// Evidence of each length of mark that ends at now_, on a scale chosen so that the best is about 1.
void TextTrellis::factors(const MarkEvidence& evidence) {
    const LogTables& tables = log_tables();
    longest_mark_ = stray_marks_.last();
    longest_gap_ = stray_gaps_.last();
    for (int h = 0; h < count_; ++h) {
        longest_mark_ = std::max({longest_mark_, hands_[h].dash.last(), hands_[h].dot.last()});
        longest_gap_ = std::max({longest_gap_, hands_[h].word_gap.last(),
                                 hands_[h].character_gap.last(), hands_[h].element_gap.last()});
    }
    const auto kept =
        static_cast<int>(std::min<std::int64_t>(now_ - oldest(), now_ - evidence.oldest()));
    longest_mark_ = std::min({longest_mark_, kept, kLongestMark});
    longest_gap_ = std::min(longest_gap_, kept);
    float* mark_factor = &mark_factors_[slot(now_) * (kLongestMark + 1)];
    constexpr auto kBitsPerLn = static_cast<float>(1.0 / std::numbers::ln2);
    constexpr auto kLnPerBit = static_cast<float>(std::numbers::ln2);
    std::array<float, kLongestMark> ratios;
    gains_.advance(evidence, longest_mark_);
    longest_mark_ = evidence.log_ratios(
        now_, std::span(ratios).first(static_cast<std::size_t>(longest_mark_)), gains_.scores());
    auto most = static_cast<float>(kScaleBits * exponent_[slot(now_ - 1)]);
    for (int length = 1; length <= longest_mark_; ++length) {
        mark_factor[length] = ratios[length - 1] * kBitsPerLn +
                              static_cast<float>(kScaleBits * exponent_[slot(now_ - length)]);
        most = std::max(most, mark_factor[length]);
    }
    const int exponent = static_cast<int>(std::floor(most / kScaleBits));
    exponent_[slot(now_)] = exponent;
    for (int length = 1; length <= longest_mark_; ++length) {
        const float bits = mark_factor[length] - static_cast<float>(kScaleBits * exponent);
        mark_factor[length] = bits < -100.0F ? 0.0F : tables.exp(bits * kLnPerBit);
    }
    // Longer ones may be asked for after retime(); what the ring held there is of another time.
    std::fill(mark_factor + longest_mark_ + 1, mark_factor + kLongestMark + 1, 0.0F);
    for (int length = 1; length <= longest_gap_; ++length) {
        gap_factor_[length] = scale_factor(exponent_[slot(now_ - length)] - exponent);
    }
}

void TextTrellis::end_marks(int h) {
    const HandTables& hand = hands_[h];
    const float* mark_factor = &mark_factors_[slot(now_) * (kLongestMark + 1)];
    alignas(32) std::array<float, kNodeStride> dots{}, dashes{};
    const auto gather = [&](const LengthTable& table, float* sum) {
        const int last = std::min(table.last(), longest_mark_);
        for (int length = table.first; length <= last; ++length) {
            const float factor = table.odds[length - table.first] * mark_factor[length];
            if (factor * side(now_ - length, h).most_gap > kNegligible) {
                add_scaled(sum, gap_end(now_ - length, h), factor);
            }
        }
    };
    gather(hand.dot, dots.data());
    gather(hand.dash, dashes.data());
    float* out = row(now_, h);
    std::fill_n(out, kNodeStride, 0.0F);
    float ends = 0.0F;
    float most = 0.0F;
    for (int n = 1; n < tree_.size; ++n) {
        const int parent = tree_.parent[n];
        out[n] = tree_.by_dash[n] ? dashes[parent] * tree_.dash_odds[parent]
                                  : dots[parent] * tree_.dot_odds[parent];
        ends += out[n] * tree_.end_odds[n];
        most = std::max(most, out[n]);
    }
    set_character_end(now_, h, ends);
    side(now_, h).most_mark = most;
}

void TextTrellis::end_gaps(int h) {
    const HandTables& hand = hands_[h];
    float* out = row(now_, h) + kNodeStride;
    std::fill_n(out, kNodeStride, 0.0F);
    const int last = std::min(hand.element_gap.last(), longest_gap_);
    for (int length = hand.element_gap.first; length <= last; ++length) {
        const float factor =
            hand.element_gap.odds[length - hand.element_gap.first] * gap_factor_[length];
        if (factor * side(now_ - length, h).most_mark > kNegligible) {
            add_scaled(out, mark_end(now_ - length, h), factor);
        }
    }
    // The odds of dot and dash say already how likely it is that the character goes on; only what
    // cannot go on at all is taken out.
    for (int n = 0; n < tree_.size; ++n) {
        out[n] = tree_.end_odds[n] < 1.0F ? out[n] : 0.0F;
    }
    out[0] = 0.0F;
    float begins = 0.0F;
    const auto add_gaps = [&](const LengthTable& table, float share) {
        const int count = std::min(table.last(), longest_gap_) - table.first + 1;
        begins += share * sum_over_lengths(ends(h) + slot(now_) + mask_ + 1 - table.first,
                                           table.odds.data(), &gap_factor_[table.first], count);
    };
    add_gaps(hand.character_gap, odds_.character_gap());
    add_gaps(hand.word_gap, odds_.word_gap);
    const Side& before = side(now_ - 1, h);
    Side& here = side(now_, h);
    here.idle = gap_factor_[1] * (before.idle * (1.0F - odds_.start_a_frame) +
                                  character_end(now_ - 1, h) * odds_.pause);
    here.begins = begins + here.idle * odds_.start_a_frame;
}

void TextTrellis::stray() {
    const float* mark_factor = &mark_factors_[slot(now_) * (kLongestMark + 1)];
    Stray& here = strays_[slot(now_)];
    here = {0.0F, 0.0F, 0.0F};
    const int marks = std::min(stray_marks_.last(), longest_mark_);
    for (int length = stray_marks_.first; length <= marks; ++length) {
        const Stray& past = strays_[slot(now_ - length)];
        here.mark += stray_marks_.odds[length - stray_marks_.first] * mark_factor[length] *
                     (past.gap + chain_odds(length) * past.mark);
    }
    float after_stray = 0.0F;
    float after_text = 0.0F;
    const int gaps = std::min(stray_gaps_.last(), longest_gap_);
    for (int length = stray_gaps_.first; length <= gaps; ++length) {
        const Stray& past = strays_[slot(now_ - length)];
        const float factor = stray_gaps_.odds[length - stray_gaps_.first] * gap_factor_[length];
        after_stray += factor * past.mark;
        after_text += factor * past.character_end;
    }
    const float share = 1.0F / static_cast<float>(count_);
    const float to_idle = gap_factor_[1] * odds_.pause_stray * strays_[slot(now_ - 1)].mark * share;
    float idle = 0.0F;
    for (int h = 0; h < count_; ++h) {
        Side& side_here = side(now_, h);
        side_here.idle += to_idle;
        side_here.begins += odds_.leave_stray * after_stray * share + odds_.start_a_frame * to_idle;
        idle += side_here.idle;
        here.character_end += character_end(now_, h);
    }
    here.gap = (1.0F - odds_.chain_stray - odds_.leave_stray - odds_.pause_stray) * after_stray +
               odds_.enter_stray * after_text + odds_.start_stray_a_frame * idle;
}

void TextTrellis::begin_characters() {
    float all = 0.0F;
    for (int h = 0; h < count_; ++h) {
        all += side(now_, h).begins;
    }
    for (int h = 0; h < count_; ++h) {
        float* gaps = row(now_, h) + kNodeStride;
        gaps[0] = side(now_, h).begins * (1.0F - odds_.change_hand) +
                  all * odds_.change_hand / static_cast<float>(count_);
        side(now_, h).most_gap = *std::max_element(gaps, gaps + tree_.size);
    }
}

// Brings the largest sum of this boundary back to between 2^-16 and 1.
void TextTrellis::rescale() {
    float most = 0.0F;
    for (int h = 0; h < count_; ++h) {
        const Side& here = side(now_, h);
        most = std::max({most, here.most_mark, here.most_gap, here.idle});
    }
    most = std::max({most, strays_[slot(now_)].mark, strays_[slot(now_)].gap});
    if (most <= 0.0F) {
        return;
    }
    const int shift = static_cast<int>(std::ceil(std::log2(most) / kScaleBits));
    if (shift == 0) {
        return;
    }
    exponent_[slot(now_)] += shift;
    const float factor = std::ldexp(1.0F, -kScaleBits * shift);
    float* mark_factor = &mark_factors_[slot(now_) * (kLongestMark + 1)];
    for (int length = 1; length <= longest_mark_; ++length) {
        mark_factor[length] *= factor;
    }
    Stray& stray = strays_[slot(now_)];
    stray = {stray.mark * factor, stray.gap * factor, stray.character_end * factor};
    for (int h = 0; h < count_; ++h) {
        float* sums = row(now_, h);
        for (int i = 0; i < 2 * kNodeStride; ++i) {
            sums[i] *= factor;
        }
        Side& here = side(now_, h);
        set_character_end(now_, h, character_end(now_, h) * factor);
        for (float* value : {&here.idle, &here.begins, &here.most_mark, &here.most_gap}) {
            *value *= factor;
        }
    }
}

void TextTrellis::advance(const MarkEvidence& evidence) {
    ++now_;
    factors(evidence);
    for (int h = 0; h < count_; ++h) {
        end_marks(h);
        end_gaps(h);
    }
    stray();
    begin_characters();
    rescale();
}

}  // namespace skedlark::copy
