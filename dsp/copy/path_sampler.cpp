#include "dsp/copy/path_sampler.h"

#include <algorithm>
#include <cmath>

namespace skedlark::copy {
namespace {

// A list of weights from which one is drawn by its share.
class Choice {
 public:
    void clear() { sum_.clear(); }
    void add(double weight) { sum_.push_back((sum_.empty() ? 0.0 : sum_.back()) + weight); }
    [[nodiscard]] double total() const { return sum_.empty() ? 0.0 : sum_.back(); }
    [[nodiscard]] bool possible() const { return !sum_.empty() && sum_.back() > 0.0; }
    [[nodiscard]] std::size_t pick(double uniform) const {
        const auto at = std::upper_bound(sum_.begin(), sum_.end(), uniform * sum_.back());
        return std::min(static_cast<std::size_t>(at - sum_.begin()), sum_.size() - 1);
    }

 private:
    std::vector<double> sum_;
};

// What is under way at now.
struct Ending {
    enum class Kind : std::uint8_t {
        idle,
        mark,
        element_gap,
        character_gap,
        stray_mark,
        stray_gap
    } kind;
    int hand;
    std::int64_t at;  // boundary where it began
    int node;         // node before it; for a mark the node it leads to
};

class Walk {
 public:
    Walk(const TextTrellis& trellis, std::mt19937& random, std::int64_t stop)
        : trellis_(trellis), random_(random), stop_(stop) {}

    SampledPath run(const Ending& ending, std::int64_t now) {
        hand_ = ending.hand;
        switch (ending.kind) {
            case Ending::Kind::idle:
                leave_idle(now);
                break;
            case Ending::Kind::stray_mark:
                stray_begins(ending.at);
                break;
            case Ending::Kind::stray_gap:
                stray_back(ending.at);
                break;
            case Ending::Kind::mark: {
                open_character(ending.node, false);
                add_mark(ending.at, now, ending.node);
                const int parent = trellis_.tree().parent[ending.node];
                after_gap(ending.at, parent);
                break;
            }
            case Ending::Kind::element_gap:
                open_character(ending.node, false);
                marks_back(ending.at, ending.node);
                break;
            case Ending::Kind::character_gap:
                open_character(ending.node, true);
                marks_back(ending.at, ending.node);
                break;
        }
        std::reverse(path_.begin(), path_.end());
        for (SampledCharacter& character : path_) {
            std::reverse(character.marks.begin(), character.marks.end());
        }
        return std::move(path_);
    }

 private:
    double uniform() { return std::generate_canonical<double, 32>(random_); }

    void open_character(int node, bool complete) {
        path_.push_back({node, hand_, GapKind::open, complete, {}});
    }
    void add_mark(std::int64_t from, std::int64_t to, int node) {
        path_.back().marks.push_back({from, to, trellis_.tree().by_dash[node]});
    }

    // A mark that completes `node` ends at t: back through the marks of its character.
    void marks_back(std::int64_t t, int node) {
        const CodeTree& tree = trellis_.tree();
        while (true) {
            const HandTables& tables = trellis_.hand(hand_);
            const LengthTable& table = tree.by_dash[node] ? tables.dash : tables.dot;
            const int parent = tree.parent[node];
            const int length = pick_length(table, t, [&](std::int64_t from, int frames) {
                return trellis_.mark_factor(t, frames) * trellis_.gap_end(from, hand_)[parent];
            });
            if (length == 0) {
                // Cannot be: the sum that led here had a term. Keep the character as a stump.
                add_mark(t - 1, t, node);
                return;
            }
            add_mark(t - length, t, node);
            t -= length;
            if (parent == 0) {
                begin(t);
                return;
            }
            t = over_element_gap(t, parent);
            if (t < 0) {
                return;
            }
            node = parent;
        }
    }

    // A gap (or the start) before a mark under way from t.
    void after_gap(std::int64_t t, int node) {
        if (node == 0) {
            begin(t);
            return;
        }
        const std::int64_t mark_end = over_element_gap(t, node);
        if (mark_end >= 0) {
            marks_back(mark_end, node);
        }
    }

    std::int64_t over_element_gap(std::int64_t t, int node) {
        const int length =
            pick_length(trellis_.hand(hand_).element_gap, t, [&](std::int64_t from, int) {
                return trellis_.gap_factor(from, t) * trellis_.mark_end(from, hand_)[node];
            });
        return length == 0 ? -1 : t - length;
    }

    // A character begins at t: which hand sent the one before, and what lies between.
    void begin(std::int64_t t) {
        if (t <= stop_) {
            return;
        }
        choice_.clear();
        for (int h = 0; h < trellis_.hands(); ++h) {
            choice_.add(
                static_cast<double>(trellis_.begins(t, h) * trellis_.change_odds(h, hand_)));
        }
        if (!choice_.possible()) {
            return;
        }
        hand_ = static_cast<int>(choice_.pick(uniform()));
        const HandTables& tables = trellis_.hand(hand_);
        const TrafficOdds& odds = trellis_.odds();
        choice_.clear();
        choice_.add(static_cast<double>(trellis_.idle(t, hand_) * odds.start_a_frame));
        const float from_stray = odds.leave_stray / static_cast<float>(trellis_.hands());
        const auto add_gaps = [&](const LengthTable& table, float share) {
            add_lengths(table, t, [&](std::int64_t from, int) {
                return share * trellis_.gap_factor(from, t) * trellis_.character_end(from, hand_);
            });
        };
        add_gaps(tables.character_gap, odds.character_gap());
        add_gaps(tables.word_gap, odds.word_gap);
        add_lengths(trellis_.stray_gaps(), t, [&](std::int64_t from, int) {
            return from_stray * trellis_.gap_factor(from, t) * trellis_.stray_mark(from);
        });
        if (!choice_.possible()) {
            return;
        }
        const auto pick = static_cast<int>(choice_.pick(uniform())) - 1;
        if (pick < 0) {
            path_.back().before = GapKind::pause;
            leave_idle(t);
            return;
        }
        const auto characters = static_cast<int>(tables.character_gap.odds.size());
        const int words = static_cast<int>(tables.word_gap.odds.size());
        if (pick >= characters + words) {
            path_.back().before = GapKind::pause;
            stray_back(t - trellis_.stray_gaps().first - (pick - characters - words));
            return;
        }
        const bool word = pick >= characters;
        path_.back().before = word ? GapKind::word : GapKind::character;
        const int length =
            word ? tables.word_gap.first + pick - characters : tables.character_gap.first + pick;
        end_character(t - length);
    }

    // Nothing was being sent at t: back to the character that ended before.
    void leave_idle(std::int64_t t) {
        const TrafficOdds& odds = trellis_.odds();
        while (t > stop_ && t - 1 >= trellis_.oldest()) {
            const float stay = trellis_.idle(t - 1, hand_) * (1.0F - odds.start_a_frame);
            const float leave = trellis_.character_end(t - 1, hand_) * odds.pause;
            const float stray = trellis_.stray_mark(t - 1) * odds.pause_stray /
                                static_cast<float>(trellis_.hands());
            --t;
            const double draw = uniform() * static_cast<double>(stay + leave + stray);
            if (draw < static_cast<double>(leave)) {
                end_character(t);
                return;
            }
            if (draw < static_cast<double>(leave + stray)) {
                stray_back(t);
                return;
            }
        }
    }

    // A character ended at t: which, and what lay before.
    void end_character(std::int64_t t) {
        if (t <= stop_) {
            return;
        }
        const CodeTree& tree = trellis_.tree();
        choice_.clear();
        for (int n = 0; n < tree.size; ++n) {
            choice_.add(static_cast<double>(trellis_.mark_end(t, hand_)[n] * tree.end_odds[n]));
        }
        if (!choice_.possible()) {
            return;
        }
        const auto node = static_cast<int>(choice_.pick(uniform()));
        open_character(node, true);
        marks_back(t, node);
    }

    // A mark of keying that is no Morse ends at t: back until Morse or silence comes before it.
    void stray_back(std::int64_t t) {
        while (t > stop_) {
            const int length =
                pick_length(trellis_.stray_marks(), t, [&](std::int64_t from, int frames) {
                    return trellis_.mark_factor(t, frames) *
                           (trellis_.stray_gap(from) +
                            trellis_.chain_odds(frames) * trellis_.stray_mark(from));
                });
            if (length == 0) {
                return;
            }
            t -= length;
            const auto gap = static_cast<double>(trellis_.stray_gap(t));
            const auto on =
                static_cast<double>(trellis_.chain_odds(length) * trellis_.stray_mark(t));
            if (uniform() * (gap + on) < gap) {
                t = before_stray_gap(t);
            }
        }
    }

    void stray_begins(std::int64_t t) { stray_back(before_stray_gap(t)); }

    // A gap before a stray mark ends at t. Returns where the stray mark before it ended, or -1
    // where it was silence or a character, which are then followed.
    std::int64_t before_stray_gap(std::int64_t t) {
        const TrafficOdds& odds = trellis_.odds();
        const float stay = 1.0F - odds.chain_stray - odds.leave_stray - odds.pause_stray;
        choice_.clear();
        for (int h = 0; h < trellis_.hands(); ++h) {
            choice_.add(static_cast<double>(odds.start_stray_a_frame * trellis_.idle(t, h)));
        }
        const LengthTable& table = trellis_.stray_gaps();
        add_lengths(table, t, [&](std::int64_t from, int) {
            return stay * trellis_.gap_factor(from, t) * trellis_.stray_mark(from);
        });
        add_lengths(table, t, [&](std::int64_t from, int) {
            return odds.enter_stray * trellis_.gap_factor(from, t) * trellis_.character_ends(from);
        });
        if (!choice_.possible()) {
            return -1;
        }
        auto pick = static_cast<int>(choice_.pick(uniform()));
        if (pick < trellis_.hands()) {
            hand_ = pick;
            leave_idle(t);
            return -1;
        }
        pick -= trellis_.hands();
        const auto lengths = static_cast<int>(table.odds.size());
        const std::int64_t from = t - table.first - pick % lengths;
        if (pick < lengths) {
            return from;
        }
        choice_.clear();
        for (int h = 0; h < trellis_.hands(); ++h) {
            choice_.add(static_cast<double>(trellis_.character_end(from, h)));
        }
        hand_ = static_cast<int>(choice_.pick(uniform()));
        end_character(from);
        return -1;
    }

    // Adds a weight for every length of the table, 0 where it would reach back too far.
    template <typename Weight>
    void add_lengths(const LengthTable& table, std::int64_t t, const Weight& weight) {
        for (std::size_t i = 0; i < table.odds.size(); ++i) {
            const int frames = table.first + static_cast<int>(i);
            const std::int64_t from = t - frames;
            choice_.add(from < trellis_.oldest()
                            ? 0.0
                            : static_cast<double>(table.odds[i] * weight(from, frames)));
        }
    }

    template <typename Weight>
    int pick_length(const LengthTable& table, std::int64_t t, const Weight& weight) {
        choice_.clear();
        add_lengths(table, t, weight);
        return choice_.possible() ? table.first + static_cast<int>(choice_.pick(uniform())) : 0;
    }

    const TextTrellis& trellis_;
    std::mt19937& random_;
    std::int64_t stop_;
    int hand_ = 0;
    SampledPath path_;
    Choice choice_;
};

class Endings {
 public:
    Endings(const TextTrellis& trellis, const MarkEvidence& evidence) : trellis_(trellis) {
        for (int h = 0; h < trellis.hands(); ++h) {
            add({Ending::Kind::idle, h, trellis.now(), 0},
                static_cast<double>(trellis.idle(trellis.now(), h)));
            add_gaps(h);
            add_marks(h, evidence);
        }
        add_stray(evidence);
    }
    Choice choice;
    std::vector<Ending> list;

 private:
    // Too small beside what is there already ever to be drawn.
    [[nodiscard]] bool negligible(double weight) const { return weight < 1e-8 * choice.total(); }
    void add(const Ending& ending, double weight) {
        if (weight > 0.0) {
            list.push_back(ending);
            choice.add(weight);
        }
    }
    void add_gaps(int h) {
        const CodeTree& tree = trellis_.tree();
        const HandTables& hand = trellis_.hand(h);
        const TrafficOdds& odds = trellis_.odds();
        const int longest = std::max(hand.word_gap.last(), hand.character_gap.last());
        for (std::int64_t t = std::max(trellis_.oldest(), trellis_.now() - longest);
             t <= trellis_.now(); ++t) {
            const std::int64_t length = trellis_.now() - t;
            const auto scale = static_cast<double>(trellis_.gap_factor(t, trellis_.now()));
            const double inside = scale * static_cast<double>(hand.element_gap.survival(length));
            const double after =
                scale * (static_cast<double>(odds.character_gap()) *
                             static_cast<double>(hand.character_gap.survival(length)) +
                         static_cast<double>(odds.word_gap) *
                             static_cast<double>(hand.word_gap.survival(length)));
            if (negligible(static_cast<double>(trellis_.most_mark(t, h)) *
                           std::max(inside, after))) {
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
    // Evidence of a mark under way since t.
    [[nodiscard]] double open_mark(const MarkEvidence& evidence, std::int64_t t) const {
        constexpr double kLog2 = 0.6931471805599453;
        const int scales = trellis_.exponent(t) - trellis_.exponent(trellis_.now());
        return std::exp(
            std::min(600.0, evidence.log_ratio(t, trellis_.now()) + kLog2 * kScaleBits * scales));
    }
    void add_stray(const MarkEvidence& evidence) {
        const std::int64_t now = trellis_.now();
        const TrafficOdds& odds = trellis_.odds();
        const double stay =
            1.0 - static_cast<double>(odds.chain_stray + odds.leave_stray + odds.pause_stray);
        for (std::int64_t t = std::max(trellis_.oldest(), now - trellis_.stray_gaps().last());
             t <= now; ++t) {
            add({Ending::Kind::stray_gap, 0, t, 0},
                static_cast<double>(trellis_.stray_mark(t) * trellis_.gap_factor(t, now)) * stay *
                    static_cast<double>(trellis_.stray_gaps().survival(now - t)));
        }
        for (std::int64_t t = std::max(trellis_.oldest(), now - trellis_.stray_marks().last());
             t < now; ++t) {
            add({Ending::Kind::stray_mark, 0, t, 0},
                static_cast<double>(trellis_.stray_gap(t)) * open_mark(evidence, t) *
                    static_cast<double>(trellis_.stray_marks().survival(now - t + 1)));
        }
    }
    void add_marks(int h, const MarkEvidence& evidence) {
        const CodeTree& tree = trellis_.tree();
        const HandTables& hand = trellis_.hand(h);
        const std::int64_t now = trellis_.now();
        for (std::int64_t t = std::max(trellis_.oldest(), now - hand.dash.last()); t < now; ++t) {
            const double ratio =
                std::exp(std::min(600.0, evidence.log_ratio(t, now) +
                                             0.6931471805599453 * kScaleBits *
                                                 (trellis_.exponent(t) - trellis_.exponent(now))));
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
    const TextTrellis& trellis_;
};

}  // namespace

std::vector<SampledPath> PathSampler::draw(const TextTrellis& trellis, const MarkEvidence& evidence,
                                           std::int64_t stop, int paths) {
    const Endings endings(trellis, evidence);
    std::vector<SampledPath> drawn;
    if (!endings.choice.possible()) {
        return drawn;
    }
    for (int i = 0; i < paths; ++i) {
        // Evenly spread draws of the ending: the same shares with less scatter.
        const double uniform = (i + std::generate_canonical<double, 32>(random_)) / paths;
        const Ending& ending = endings.list[endings.choice.pick(uniform)];
        drawn.push_back(Walk(trellis, random_, stop).run(ending, trellis.now()));
    }
    return drawn;
}

}  // namespace skedlark::copy
