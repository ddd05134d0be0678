#include "dsp/copy/path_endings.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace skedlark::copy {

PathEndings::PathEndings(const TextTrellis& trellis, const MarkEvidence& evidence)
    : trellis_(trellis) {
    open_marks_ = evidence.log_ratios(trellis.now(), open_mark_ratios_, trellis.carried());
    for (int h = 0; h < trellis.hands(); ++h) {
        add({Ending::Kind::idle, h, trellis.now(), 0},
            static_cast<double>(trellis.idle(trellis.now(), h)));
        add_gaps(h);
        add_marks(h);
    }
    add_stray();
}

void PathEndings::add(const Ending& ending, double weight) {
    if (weight > 0.0) {
        list_.push_back(ending);
        choice_.add(weight);
    }
}

void PathEndings::add_gaps(int h) {
    const CodeTree& tree = trellis_.tree();
    const HandTables& hand = trellis_.hand(h);
    const TrafficOdds& odds = trellis_.odds();
    const int longest = std::max(hand.word_gap.last(), hand.character_gap.last());
    for (std::int64_t t = std::max(trellis_.oldest(), trellis_.now() - longest);
         t <= trellis_.now(); ++t) {
        const std::int64_t length = trellis_.now() - t;
        const auto scale = static_cast<double>(trellis_.gap_factor(t, trellis_.now()));
        const double inside = scale * static_cast<double>(hand.element_gap.survival(length));
        const double after = scale * (static_cast<double>(odds.character_gap()) *
                                          static_cast<double>(hand.character_gap.survival(length)) +
                                      static_cast<double>(odds.word_gap) *
                                          static_cast<double>(hand.word_gap.survival(length)));
        if (negligible(static_cast<double>(trellis_.most_mark(t, h)) * std::max(inside, after))) {
            continue;
        }
        const float* ends = trellis_.mark_end(t, h);
        for (int n = 1; n < tree.size; ++n) {
            const auto end = static_cast<double>(tree.end_odds[n]);
            const auto sum = static_cast<double>(ends[n]);
            add({Ending::Kind::element_gap, h, t, n}, sum * (1.0 - end) * inside);
            add({Ending::Kind::character_gap, h, t, n}, sum * end * after);
        }
    }
}

double PathEndings::open_mark(std::int64_t t) const {
    const std::int64_t length = trellis_.now() - t;
    if (length > open_marks_) {
        return 0.0;
    }
    const int scales = trellis_.exponent(t) - trellis_.exponent(trellis_.now());
    return std::exp(std::min(
        600.0, static_cast<double>(open_mark_ratios_[static_cast<std::size_t>(length - 1)]) +
                   std::numbers::ln2 * kScaleBits * scales));
}

void PathEndings::add_marks(int h) {
    const CodeTree& tree = trellis_.tree();
    const HandTables& hand = trellis_.hand(h);
    const std::int64_t now = trellis_.now();
    for (std::int64_t t = std::max(trellis_.oldest(), now - hand.dash.last()); t < now; ++t) {
        const double ratio = open_mark(t);
        // Longer than it is now: marks that end just here are among those that ended.
        const double dot = ratio * static_cast<double>(hand.dot.survival(now - t + 1));
        const double dash = ratio * static_cast<double>(hand.dash.survival(now - t + 1));
        if (negligible(static_cast<double>(trellis_.most_gap(t, h)) * std::max(dot, dash))) {
            continue;
        }
        const float* begins = trellis_.gap_end(t, h);
        for (int n = 0; n < tree.size; ++n) {
            const auto sum = static_cast<double>(begins[n]);
            if (tree.dot_child[n] >= 0) {
                add({Ending::Kind::mark, h, t, tree.dot_child[n]},
                    sum * dot * static_cast<double>(tree.dot_odds[n]));
            }
            if (tree.dash_child[n] >= 0) {
                add({Ending::Kind::mark, h, t, tree.dash_child[n]},
                    sum * dash * static_cast<double>(tree.dash_odds[n]));
            }
        }
    }
}

void PathEndings::add_stray() {
    const std::int64_t now = trellis_.now();
    const TrafficOdds& odds = trellis_.odds();
    const double stay =
        1.0 - static_cast<double>(odds.chain_stray + odds.leave_stray + odds.pause_stray);
    for (std::int64_t t = std::max(trellis_.oldest(), now - trellis_.stray_gaps().last()); t <= now;
         ++t) {
        add({Ending::Kind::stray_gap, 0, t, 0},
            static_cast<double>(trellis_.stray_mark(t) * trellis_.gap_factor(t, now)) * stay *
                static_cast<double>(trellis_.stray_gaps().survival(now - t)));
    }
    for (std::int64_t t = std::max(trellis_.oldest(), now - trellis_.stray_marks().last()); t < now;
         ++t) {
        add({Ending::Kind::stray_mark, 0, t, 0},
            static_cast<double>(trellis_.stray_gap(t)) * open_mark(t) *
                static_cast<double>(trellis_.stray_marks().survival(now - t + 1)));
    }
}

}  // namespace skedlark::copy
