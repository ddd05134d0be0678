#include "dsp/copy/backward_walk.h"

#include <array>
#include <cmath>
#include <utility>

namespace skedlark::copy {

template <typename Weight>
void BackwardWalk::add_lengths(WeightedChoice& choice, const LengthTable& table, std::int64_t t,
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
int BackwardWalk::pick_length(const LengthTable& table, std::int64_t t, const Weight& weight) {
    choice_.clear();
    add_lengths(choice_, table, t, weight);
    return choice_.possible() ? table.first + static_cast<int>(choice_.pick(uniform())) : 0;
}

Reading BackwardWalk::start(const Ending& ending, std::int64_t now) {
    Reading reading;
    r_ = &reading;
    r_->hand = ending.hand;
    switch (ending.kind) {
        case Ending::Kind::idle:
            r_->following.add_gap();
            go_on_with(Reading::Next::leave_idle, now);
            break;
        case Ending::Kind::stray_mark:
            r_->following.add_gap();
            stray_begins(ending.at);
            break;
        case Ending::Kind::stray_gap:
            r_->following.add_gap();
            go_on_with(Reading::Next::stray_back, ending.at);
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
            weigh_character(ending.node);
            open_character(ending.node, true);
            marks_back(ending.at, ending.node);
            break;
    }
    return reading;
}

void BackwardWalk::go_on(Reading& reading, std::int64_t until) {
    r_ = &reading;
    while (r_->next != Reading::Next::done && r_->at > until) {
        const std::int64_t at = r_->at;
        switch (std::exchange(r_->next, Reading::Next::done)) {
            case Reading::Next::begin:
                begin(at);
                break;
            case Reading::Next::end_character:
                end_character(at);
                break;
            case Reading::Next::leave_idle:
                leave_idle(at);
                break;
            case Reading::Next::stray_back:
                stray_back(at);
                break;
            case Reading::Next::done:
                break;
        }
    }
}

void BackwardWalk::go_on_with(Reading::Next next, std::int64_t at) {
    r_->next = next;
    r_->at = at;
}

void BackwardWalk::open_character(int node, bool complete) {
    r_->path.push_back({node, r_->hand, GapKind::open, complete, {}});
    if (knowledge_ == nullptr) return;
    if (complete) {
        knowledge_->add(r_->following, node);
    } else {
        r_->following.add_unknown();
    }
}

void BackwardWalk::add_mark(std::int64_t from, std::int64_t to, int node) {
    r_->path.back().marks.push_back({from, to, trellis_.tree().by_dash[node]});
}

void BackwardWalk::weigh_character(int node) {
    if (knowledge_ != nullptr)
        r_->log_weight += std::log(knowledge_->character_ratio(r_->following, node));
}

void BackwardWalk::marks_back(std::int64_t t, int node) {
    const CodeTree& tree = trellis_.tree();
    while (true) {
        const HandTables& tables = trellis_.hand(r_->hand);
        const LengthTable& table = tree.by_dash[node] ? tables.dash : tables.dot;
        const int parent = tree.parent[node];
        const int length = pick_length(table, t, [&](std::int64_t from, int frames) {
            return trellis_.mark_factor(t, frames) * trellis_.gap_end(from, r_->hand)[parent];
        });
        if (length == 0) {
            // Cannot be: the sum that led here had a term. Keep the character as a stump.
            add_mark(t - 1, t, node);
            return;
        }
        add_mark(t - length, t, node);
        t -= length;
        if (parent == 0) {
            go_on_with(Reading::Next::begin, t);
            return;
        }
        t = over_element_gap(t, parent);
        if (t < 0) {
            return;
        }
        node = parent;
    }
}

void BackwardWalk::after_gap(std::int64_t t, int node) {
    if (node == 0) {
        go_on_with(Reading::Next::begin, t);
        return;
    }
    const std::int64_t mark_end = over_element_gap(t, node);
    if (mark_end >= 0) {
        marks_back(mark_end, node);
    }
}

std::int64_t BackwardWalk::over_element_gap(std::int64_t t, int node) {
    const int length =
        pick_length(trellis_.hand(r_->hand).element_gap, t, [&](std::int64_t from, int) {
            return trellis_.gap_factor(from, t) * trellis_.mark_end(from, r_->hand)[node];
        });
    return length == 0 ? -1 : t - length;
}

void BackwardWalk::begin(std::int64_t t) {
    if (t <= stop_) {
        return;
    }
    choice_.clear();
    for (int h = 0; h < trellis_.hands(); ++h) {
        choice_.add(static_cast<double>(trellis_.begins(t, h) * trellis_.change_odds(h, r_->hand)));
    }
    if (!choice_.possible()) {
        return;
    }
    r_->hand = static_cast<int>(choice_.pick(uniform()));
    const HandTables& tables = trellis_.hand(r_->hand);
    const WeightedChoice& before = before_character(t);
    if (!before.possible()) {
        return;
    }
    const auto characters = tables.character_gap.odds.size();
    const auto words = tables.word_gap.odds.size();
    std::size_t pick = pick_before(before, 1 + characters);
    GapKind& kind = r_->path.back().before;
    kind = pick == 0 || pick > characters + words ? GapKind::pause
           : pick > characters                    ? GapKind::word
                                                  : GapKind::character;
    if (kind != GapKind::character) {
        r_->following.add_gap();
    }
    if (pick == 0) {
        go_on_with(Reading::Next::leave_idle, t);
        return;
    }
    --pick;
    const LengthTable& lengths = kind == GapKind::pause  ? trellis_.stray_gaps()
                                 : kind == GapKind::word ? tables.word_gap
                                                         : tables.character_gap;
    pick -= kind == GapKind::pause ? characters + words : kind == GapKind::word ? characters : 0;
    go_on_with(kind == GapKind::pause ? Reading::Next::stray_back : Reading::Next::end_character,
               t - lengths.first - static_cast<std::int64_t>(pick));
}

std::size_t BackwardWalk::pick_before(const WeightedChoice& before, std::size_t words) {
    if (knowledge_ == nullptr) {
        return before.pick(uniform());
    }
    const double gap = knowledge_->gap(r_->following);
    const double unaided = trellis_.odds().between_words();
    const double gap_ratio = gap / unaided;
    const double close_ratio = (1.0 - gap) / (1.0 - unaided);
    const std::array<std::size_t, 4> ends = {0, 1, words, before.size()};
    const std::array<double, 3> ratios = {gap_ratio, close_ratio, gap_ratio};
    std::array<double, 3> weights;
    double total = 0.0;
    for (std::size_t i = 0; i < weights.size(); ++i) {
        weights[i] = ratios[i] * before.between(ends[i], ends[i + 1]);
        total += weights[i];
    }
    r_->log_weight += std::log(total / before.total());
    double left = uniform() * total;
    std::size_t part = 0;
    while (part + 1 < weights.size() && left >= weights[part]) {
        left -= weights[part++];
    }
    return before.pick_between(ends[part], ends[part + 1],
                               weights[part] > 0.0 ? left / weights[part] : 0.0);
}

const WeightedChoice& BackwardWalk::before_character(std::int64_t t) {
    const auto [entry, is_new] = before_.try_emplace(t * kMaxHands + r_->hand);
    WeightedChoice& choice = entry->second;
    if (!is_new) {
        return choice;
    }
    const HandTables& tables = trellis_.hand(r_->hand);
    const TrafficOdds& odds = trellis_.odds();
    choice.add(static_cast<double>(trellis_.idle(t, r_->hand) * odds.start_a_frame));
    const float from_stray = odds.leave_stray / static_cast<float>(trellis_.hands());
    const auto add_gaps = [&](const LengthTable& table, float share) {
        add_lengths(choice, table, t, [&](std::int64_t from, int) {
            return share * trellis_.gap_factor(from, t) * trellis_.character_end(from, r_->hand);
        });
    };
    add_gaps(tables.character_gap, odds.character_gap());
    add_gaps(tables.word_gap, odds.word_gap);
    add_lengths(choice, trellis_.stray_gaps(), t, [&](std::int64_t from, int) {
        return from_stray * trellis_.gap_factor(from, t) * trellis_.stray_mark(from);
    });
    return choice;
}

void BackwardWalk::leave_idle(std::int64_t t) {
    const TrafficOdds& odds = trellis_.odds();
    while (t > stop_ && t - 1 >= trellis_.oldest()) {
        const float stay = trellis_.idle(t - 1, r_->hand) * (1.0F - odds.start_a_frame);
        const float leave = trellis_.character_end(t - 1, r_->hand) * odds.pause;
        const float stray =
            trellis_.stray_mark(t - 1) * odds.pause_stray / static_cast<float>(trellis_.hands());
        --t;
        const double draw = uniform() * static_cast<double>(stay + leave + stray);
        if (draw < static_cast<double>(leave)) {
            go_on_with(Reading::Next::end_character, t);
            return;
        }
        if (draw < static_cast<double>(leave + stray)) {
            go_on_with(Reading::Next::stray_back, t);
            return;
        }
    }
}

void BackwardWalk::end_character(std::int64_t t) {
    if (t <= stop_) {
        return;
    }
    const CodeTree& tree = trellis_.tree();
    choice_.clear();
    double unaided = 0.0;
    for (int n = 0; n < tree.size; ++n) {
        const auto weight =
            static_cast<double>(trellis_.mark_end(t, r_->hand)[n] * tree.end_odds[n]);
        unaided += weight;
        choice_.add(knowledge_ == nullptr || weight <= 0.0
                        ? weight
                        : weight * knowledge_->character_ratio(r_->following, n));
    }
    if (!choice_.possible()) {
        return;
    }
    r_->log_weight += std::log(choice_.total() / unaided);
    const auto node = static_cast<int>(choice_.pick(uniform()));
    open_character(node, true);
    marks_back(t, node);
}

void BackwardWalk::stray_back(std::int64_t t) {
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
        const auto on = static_cast<double>(trellis_.chain_odds(length) * trellis_.stray_mark(t));
        if (uniform() * (gap + on) < gap) {
            t = before_stray_gap(t);
            if (t < 0) {
                return;
            }
        }
    }
}

void BackwardWalk::stray_begins(std::int64_t t) {
    const std::int64_t from = before_stray_gap(t);
    if (from >= 0) {
        go_on_with(Reading::Next::stray_back, from);
    }
}

std::int64_t BackwardWalk::before_stray_gap(std::int64_t t) {
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
        r_->hand = pick;
        go_on_with(Reading::Next::leave_idle, t);
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
    r_->hand = static_cast<int>(choice_.pick(uniform()));
    go_on_with(Reading::Next::end_character, from);
    return -1;
}

}  // namespace skedlark::copy
