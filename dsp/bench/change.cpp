#include "dsp/bench/change.h"

#include <cmath>
#include <limits>
#include <string_view>

#include "dsp/core/csv.h"

namespace skedlark::bench {
namespace {

struct Reach {
    double low;
    double high;
};

Reach reach_of(const Measurement& m) {
    constexpr double kFar = std::numeric_limits<double>::infinity();
    if (m.known == Known::at_most) return {-kFar, m.figure.value};
    if (m.known == Known::at_least) return {m.figure.value, kFar};
    return {m.figure.low(), m.figure.high()};
}

bool is_number(const Measurement& m) {
    return std::isfinite(m.figure.value) &&
           (m.known != Known::value || std::isfinite(m.figure.uncertainty_95));
}

// The number of "100.2 Hz".
std::optional<double> frequency_of(std::string_view at) {
    if (!at.ends_with(" Hz")) return std::nullopt;
    at.remove_suffix(3);
    return csv::number(at);
}

// The supply does not keep its frequency from day to day; lines of it lie further apart than this.
constexpr double kSameLine = 0.005;

bool is_same_place(const std::string& a, const std::string& b) {
    if (a == b) return true;
    const auto a_hz = frequency_of(a);
    const auto b_hz = frequency_of(b);
    return a_hz && b_hz && std::abs(*a_hz - *b_hz) <= kSameLine * std::abs(*a_hz);
}

void judge_change(Change& change) {
    const Measurement& before = *change.before;
    const Measurement& after = *change.after;
    if (!is_number(before) || !is_number(after)) return;
    if (before.known == Known::value && after.known == Known::value) {
        change.difference = difference(after.figure, before.figure);
        change.changed = is_changed(*change.difference);
        return;
    }
    const Reach a = reach_of(before);
    const Reach b = reach_of(after);
    // Where they overlap nothing is said: a bound does not tell that it stayed the same.
    if (a.high < b.low || b.high < a.low) change.changed = true;
}

}  // namespace

std::vector<Change> changes(std::span<const Measurement> before,
                            std::span<const Measurement> after) {
    std::vector<Change> all;
    std::vector<bool> taken(after.size(), false);
    for (const Measurement& m : before) {
        Change change;
        change.before = m;
        for (std::size_t i = 0; i < after.size(); ++i) {
            if (taken[i] || after[i].name != m.name || !is_same_place(m.at, after[i].at)) continue;
            taken[i] = true;
            change.after = after[i];
            judge_change(change);
            break;
        }
        all.push_back(std::move(change));
    }
    for (std::size_t i = 0; i < after.size(); ++i) {
        if (!taken[i]) all.push_back({.after = after[i]});
    }
    return all;
}

}  // namespace skedlark::bench
