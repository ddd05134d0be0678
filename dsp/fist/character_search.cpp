#include "dsp/fist/character_search.h"

#include <algorithm>

namespace skedlark::fist {
namespace {

// What faults within a character cost, in nepers: about the logarithm of how rarely a hand commits
// them. Tried 3 to 12 each on the five hands with and without faults put in (seeds below 1000).
constexpr double kOtherElement = 7.0;
constexpr double kDropped = 6.0;
constexpr double kLost = 5.0;
constexpr double kPutIn = 6.0;
constexpr double kSplit = 4.0;

double inner_gap(const GapCost& gap) {
    return std::min(gap.element, kSplit + std::min(gap.character, gap.word));
}

}  // namespace

void CharacterSearch::run(std::size_t start, std::span<float> out) {
    const std::size_t n = elements_.size();
    const std::size_t most = std::min<std::size_t>(kMostMarks, odds_.marks.size() - start);
    best_.assign((n + 1) * (kMostMarks + 1), kNever);
    came_.assign(best_.size(), {});
    start_ = start;
    at(0, 0) = 0.0;
    for (std::size_t b = 0; b < most; ++b) {
        for (std::size_t a = 0; a <= n; ++a) {
            if (at(a, b) >= kNever) continue;
            for (std::size_t next = a; next < n; ++next) pair(a, b, next);
            put_in(a, b);
        }
    }
    std::fill(out.begin(), out.end(), static_cast<float>(kNever));
    for (std::size_t m = 1; m <= most; ++m) {
        for (std::size_t a = 0; a <= n; ++a) {
            const double cost = at(a, m) + kDropped * static_cast<double>(n - a);
            out[m] = std::min(out[m], static_cast<float>(std::min(cost, kNever)));
        }
    }
}

std::vector<ElementStep> CharacterSearch::way(std::size_t marks) const {
    const std::size_t n = elements_.size();
    std::size_t a = 0;
    double least = kNever;
    for (std::size_t i = 0; i <= n; ++i) {
        const double cost = at(i, marks) + kDropped * static_cast<double>(n - i);
        if (cost < least) {
            least = cost;
            a = i;
        }
    }
    std::vector<ElementStep> out;
    for (std::size_t i = n; i > a; --i) out.push_back(gone(i - 1, ElementFate::dropped));
    for (std::size_t b = marks; b > 0; --b) {
        const Came& came = came_[a * (kMostMarks + 1) + b];
        ElementStep step;
        step.mark = start_ + b - 1;
        step.split_before = came.split;
        step.fate = came.fate;
        step.dash = came.fate == ElementFate::put_in ? odds_.marks[start_ + b - 1].sounds_dash()
                                                     : elements_[a - 1] == '-';
        out.push_back(step);
        const std::size_t before = came.fate == ElementFate::put_in ? a : a - 1;
        for (std::size_t i = before; i > came.from; --i) {
            out.push_back(gone(i - 1, came.lost ? ElementFate::lost : ElementFate::dropped));
        }
        a = came.from;
    }
    std::reverse(out.begin(), out.end());
    return out;
}

ElementStep CharacterSearch::gone(std::size_t element, ElementFate fate) const {
    ElementStep step;
    step.fate = fate;
    step.dash = elements_[element] == '-';
    return step;
}

void CharacterSearch::offer(std::size_t a, std::size_t b, double cost, const Came& came) {
    if (cost >= at(a, b)) return;
    at(a, b) = cost;
    came_[a * (kMostMarks + 1) + b] = came;
}

void CharacterSearch::pair(std::size_t a, std::size_t b, std::size_t next) {
    const MarkCost& mark = odds_.marks[start_ + b];
    const bool dash = elements_[next] == '-';
    const double right = mark.of(dash);
    const double other = kOtherElement + mark.of(!dash);
    Came came{a, right <= other ? ElementFate::right : ElementFate::other};
    double cost = at(a, b) + std::min(right, other);
    const auto passed = static_cast<double>(next - a);
    if (b == 0) {
        cost += kDropped * passed;
    } else {
        const GapCost& gap = odds_.gaps[start_ + b - 1];
        const double plain = kDropped * passed + inner_gap(gap);
        const double holds = next == a ? kNever
                             : next > a + 1
                                 ? kLost * passed + 2.0
                                 : kLost + (elements_[a] == '-' ? gap.lost_dash : gap.lost_dot);
        came.lost = holds < plain;
        came.split = !came.lost && gap.element > inner_gap(gap);
        cost += std::min(plain, holds);
    }
    offer(next + 1, b + 1, cost, came);
}

void CharacterSearch::put_in(std::size_t a, std::size_t b) {
    Came came{a, ElementFate::put_in};
    double cost = at(a, b) + kPutIn;
    if (b > 0) {
        const GapCost& gap = odds_.gaps[start_ + b - 1];
        cost += inner_gap(gap);
        came.split = gap.element > inner_gap(gap);
    }
    offer(a, b + 1, cost, came);
}

}  // namespace skedlark::fist
