#include "dsp/copy/path_sampler.h"

#include <algorithm>
#include <unordered_map>

#include "dsp/copy/path_endings.h"

namespace skedlark::copy {
namespace {

class Walk {
 public:
    Walk(const TextTrellis& trellis, std::mt19937& random, std::int64_t stop)
        : trellis_(trellis), random_(random), stop_(stop) {}

    SampledPath run(const Ending& ending, std::int64_t now) {
        path_.clear();
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
        const WeightedChoice& before = before_character(t);
        if (!before.possible()) {
            return;
        }
        const auto pick = static_cast<int>(before.pick(uniform())) - 1;
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

    // What may lie before a character of this hand that begins at t: silence, then gaps by length.
    // Paths that have come together ask the same again and again.
    const WeightedChoice& before_character(std::int64_t t) {
        const auto [entry, is_new] = before_.try_emplace(t * kMaxHands + hand_);
        WeightedChoice& choice = entry->second;
        if (!is_new) {
            return choice;
        }
        const HandTables& tables = trellis_.hand(hand_);
        const TrafficOdds& odds = trellis_.odds();
        choice.add(static_cast<double>(trellis_.idle(t, hand_) * odds.start_a_frame));
        const float from_stray = odds.leave_stray / static_cast<float>(trellis_.hands());
        const auto add_gaps = [&](const LengthTable& table, float share) {
            add_lengths(choice, table, t, [&](std::int64_t from, int) {
                return share * trellis_.gap_factor(from, t) * trellis_.character_end(from, hand_);
            });
        };
        add_gaps(tables.character_gap, odds.character_gap());
        add_gaps(tables.word_gap, odds.word_gap);
        add_lengths(choice, trellis_.stray_gaps(), t, [&](std::int64_t from, int) {
            return from_stray * trellis_.gap_factor(from, t) * trellis_.stray_mark(from);
        });
        return choice;
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
        add_lengths(choice_, table, t, [&](std::int64_t from, int) {
            return stay * trellis_.gap_factor(from, t) * trellis_.stray_mark(from);
        });
        add_lengths(choice_, table, t, [&](std::int64_t from, int) {
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
    void add_lengths(WeightedChoice& choice, const LengthTable& table, std::int64_t t,
                     const Weight& weight) const {
        for (std::size_t i = 0; i < table.odds.size(); ++i) {
            const int frames = table.first + static_cast<int>(i);
            const std::int64_t from = t - frames;
            choice.add(from < trellis_.oldest()
                           ? 0.0
                           : static_cast<double>(table.odds[i] * weight(from, frames)));
        }
    }

    template <typename Weight>
    int pick_length(const LengthTable& table, std::int64_t t, const Weight& weight) {
        choice_.clear();
        add_lengths(choice_, table, t, weight);
        return choice_.possible() ? table.first + static_cast<int>(choice_.pick(uniform())) : 0;
    }

    const TextTrellis& trellis_;
    std::mt19937& random_;
    std::int64_t stop_;
    int hand_ = 0;
    SampledPath path_;
    WeightedChoice choice_;
    std::unordered_map<std::int64_t, WeightedChoice> before_;  // by boundary and hand
};

}  // namespace

std::vector<SampledPath> PathSampler::draw(const TextTrellis& trellis, const MarkEvidence& evidence,
                                           std::int64_t stop, int paths) {
    const PathEndings endings(trellis, evidence);
    std::vector<SampledPath> drawn;
    if (!endings.possible()) {
        return drawn;
    }
    Walk walk(trellis, random_, stop);
    for (int i = 0; i < paths; ++i) {
        // Evenly spread draws of the ending: the same shares with less scatter.
        const double uniform = (i + std::generate_canonical<double, 32>(random_)) / paths;
        const Ending& ending = endings.pick(uniform);
        drawn.push_back(walk.run(ending, trellis.now()));
    }
    return drawn;
}

}  // namespace skedlark::copy
