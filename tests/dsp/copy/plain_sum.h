// The model of the text search as a plain graph in double: every state at every boundary a node,
// every mark, gap and choice an edge. No scaling, no pruning, no recursion of the search's own.
//
// Stage:   tests.
// Units:   boundaries in frames from 0.
// Shape:   short stretches only; no mark or gap is left out.
// Source:  sums over all paths of an acyclic graph, forward and backward (common practice); what
//          leads where is the model stated in dsp/copy/text_trellis.h.
#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

#include "dsp/copy/text_trellis.h"

namespace skedlark::test {

class PlainSum {
 public:
    // The trellis gives lengths and odds only; none of its sums are used.
    PlainSum(const copy::TextTrellis& model, const copy::MarkEvidence& evidence, int frames)
        : model_(model), evidence_(evidence), frames_(frames), hands_(model.hands()) {
        edges_.resize(static_cast<std::size_t>(final_state()) + 1);
        for (int t = 0; t <= frames_; ++t) {
            stray_edges(t);
            for (int h = 0; h < hands_; ++h) {
                character_edges(t, h);
                between_edges(t, h);
            }
        }
        sum_up();
    }

    // Weight of all ways to come to a state.
    [[nodiscard]] double mark_end(int t, int h, int node) const { return to_[mark(t, h, node)]; }
    [[nodiscard]] double gap_end(int t, int h, int node) const { return to_[gap(t, h, node)]; }
    [[nodiscard]] double character_end(int t, int h) const { return to_[ends(t, h)]; }
    [[nodiscard]] double idle(int t, int h) const { return to_[idle_at(t, h)]; }
    [[nodiscard]] double stray_mark(int t) const { return to_[stray_mark_at(t)]; }
    [[nodiscard]] double stray_gap(int t) const { return to_[stray_gap_at(t)]; }
    [[nodiscard]] double total() const { return to_[final_state()]; }
    // Posterior that a whole character of this node ends at t.
    [[nodiscard]] double character_posterior(int t, int node) const {
        double sum = 0.0;
        for (int h = 0; h < hands_; ++h) {
            sum += to_[mark(t, h, node)] * static_cast<double>(model_.tree().end_odds[node]) *
                   from_[ends(t, h)];
        }
        return sum / total();
    }

 private:
    struct Edge {
        int to;
        double weight;
    };
    // States of one boundary, in an order in which each leads only to later ones.
    static constexpr int kNodes = copy::kNodeStride;
    [[nodiscard]] int base(int t) const { return t * (hands_ * (2 * kNodes + 3) + 2); }
    [[nodiscard]] int mark(int t, int h, int n) const { return base(t) + h * kNodes + n; }
    [[nodiscard]] int ends(int t, int h) const { return base(t) + hands_ * kNodes + h; }
    [[nodiscard]] int stray_mark_at(int t) const { return ends(t, hands_); }
    [[nodiscard]] int idle_at(int t, int h) const { return stray_mark_at(t) + 1 + h; }
    [[nodiscard]] int begins(int t, int h) const { return idle_at(t, hands_) + h; }
    [[nodiscard]] int gap(int t, int h, int n) const { return begins(t, hands_) + h * kNodes + n; }
    [[nodiscard]] int stray_gap_at(int t) const { return gap(t, hands_, 0); }
    [[nodiscard]] int final_state() const { return base(frames_ + 1); }

    void edge(int from, int to, double weight) { edges_[from].push_back({to, weight}); }
    [[nodiscard]] double ratio(int from, int to) const {
        return std::exp(evidence_.log_ratio(from, to));
    }
    // Edges for every length of a table, and one to the end for those that are not over by then.
    template <typename State>
    void gaps(int from, int t, const copy::LengthTable& table, double share, const State& state) {
        for (int length = table.first; length <= table.last() && t + length <= frames_; ++length) {
            edge(from, state(t + length),
                 share * static_cast<double>(table.odds[length - table.first]));
        }
        edge(from, final_state(), share * left(table, frames_ - t));
    }
    template <typename State>
    void marks(int from, int t, const copy::LengthTable& table, double share, const State& state) {
        for (int length = table.first; length <= table.last() && t + length <= frames_; ++length) {
            edge(from, state(t + length),
                 share * static_cast<double>(table.odds[length - table.first]) *
                     ratio(t, t + length));
        }
        edge(from, final_state(), share * left(table, frames_ - t) * ratio(t, frames_));
    }
    // Chance of a length beyond so many frames.
    [[nodiscard]] static double left(const copy::LengthTable& table, int frames) {
        double sum = 0.0;
        for (int length = std::max(frames + 1, table.first); length <= table.last(); ++length) {
            sum += static_cast<double>(table.odds[length - table.first]);
        }
        return sum;
    }

    void character_edges(int t, int h) {
        const copy::CodeTree& tree = model_.tree();
        const copy::HandTables& hand = model_.hand(h);
        for (int n = 0; n < tree.size; ++n) {
            const auto end = static_cast<double>(tree.end_odds[n]);
            if (n > 0) {
                edge(mark(t, h, n), ends(t, h), end);
                // Dot, dash and end add to 1: whether the character goes on is told by the odds of
                // dot and dash; only a gap still under way at the end needs them here.
                for (int length = hand.element_gap.first;
                     length <= hand.element_gap.last() && t + length <= frames_ && end < 1.0;
                     ++length) {
                    edge(mark(t, h, n), gap(t + length, h, n),
                         static_cast<double>(
                             hand.element_gap.odds[length - hand.element_gap.first]));
                }
                edge(mark(t, h, n), final_state(),
                     (1.0 - end) * left(hand.element_gap, frames_ - t));
            }
            if (tree.dot_child[n] >= 0) {
                marks(gap(t, h, n), t, hand.dot, static_cast<double>(tree.dot_odds[n]),
                      [&](int to) { return mark(to, h, tree.dot_child[n]); });
            }
            if (tree.dash_child[n] >= 0) {
                marks(gap(t, h, n), t, hand.dash, static_cast<double>(tree.dash_odds[n]),
                      [&](int to) { return mark(to, h, tree.dash_child[n]); });
            }
        }
    }
    void between_edges(int t, int h) {
        const copy::TrafficOdds& odds = model_.odds();
        const copy::HandTables& hand = model_.hand(h);
        const auto start = [&](int to) { return begins(to, h); };
        gaps(ends(t, h), t, hand.character_gap, static_cast<double>(odds.character_gap()), start);
        gaps(ends(t, h), t, hand.word_gap, static_cast<double>(odds.word_gap), start);
        gaps(ends(t, h), t, model_.stray_gaps(), static_cast<double>(odds.enter_stray),
             [&](int to) { return stray_gap_at(to); });
        const int silent = t < frames_ ? idle_at(t + 1, h) : final_state();
        edge(ends(t, h), silent, static_cast<double>(odds.pause));
        const auto begin = static_cast<double>(odds.start_a_frame);
        edge(idle_at(t, h), silent, t < frames_ ? 1.0 - begin : 1.0);
        edge(idle_at(t, h), begins(t, h), begin);
        edge(idle_at(t, h), stray_gap_at(t), static_cast<double>(odds.start_stray_a_frame));
        for (int to = 0; to < hands_; ++to) {
            edge(begins(t, h), gap(t, to, 0), static_cast<double>(model_.change_odds(h, to)));
        }
    }
    void stray_edges(int t) {
        const copy::TrafficOdds& odds = model_.odds();
        const auto state = [&](int to) { return stray_mark_at(to); };
        marks(stray_gap_at(t), t, model_.stray_marks(), 1.0, state);
        copy::LengthTable chained = model_.stray_marks();
        for (std::size_t i = 0; i < chained.odds.size(); ++i) {
            chained.odds[i] *= model_.chain_odds(chained.first + static_cast<int>(i));
        }
        marks(stray_mark_at(t), t, chained, 1.0, state);
        const auto leave = static_cast<double>(odds.leave_stray);
        const auto pause = static_cast<double>(odds.pause_stray);
        gaps(stray_mark_at(t), t, model_.stray_gaps(),
             1.0 - static_cast<double>(odds.chain_stray) - leave - pause,
             [&](int to) { return stray_gap_at(to); });
        for (int h = 0; h < hands_; ++h) {
            gaps(stray_mark_at(t), t, model_.stray_gaps(), leave / hands_,
                 [&](int to) { return begins(to, h); });
            edge(stray_mark_at(t), t < frames_ ? idle_at(t + 1, h) : final_state(), pause / hands_);
        }
    }
    void sum_up() {
        to_.assign(edges_.size(), 0.0);
        from_.assign(edges_.size(), 0.0);
        for (int h = 0; h < hands_; ++h) {
            to_[idle_at(0, h)] = 1.0 / hands_;
        }
        for (std::size_t i = 0; i < edges_.size(); ++i) {
            for (const Edge& e : edges_[i]) {
                to_[e.to] += to_[i] * e.weight;
            }
        }
        from_.back() = 1.0;
        for (std::size_t i = edges_.size() - 1; i-- > 0;) {
            for (const Edge& e : edges_[i]) {
                from_[i] += from_[e.to] * e.weight;
            }
        }
    }

    const copy::TextTrellis& model_;
    const copy::MarkEvidence& evidence_;
    int frames_, hands_;
    std::vector<std::vector<Edge>> edges_;
    std::vector<double> to_, from_;
};

}  // namespace skedlark::test
