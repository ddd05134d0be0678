#include "tests/accuracy/timing_floor.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <cstddef>
#include <vector>

#include "dsp/core/units.h"
#include "dsp/morse/code_table.h"
#include "tests/accuracy/lattice.h"

namespace skedlark::accuracy {
namespace {

// Steps of the wandering speed: a quarter of its standard deviation, out to two and a half.
constexpr double kWanderStep = 0.25;
constexpr double kWanderReach = 2.5;
// Machine keying has no spread; a little keeps its density finite without moving any decision.
constexpr double kLeastCv = 0.01;

double log_normal_density(double value, const synth::Length& length) {
    const double cv = std::max(length.cv, kLeastCv);
    const double variance = std::log1p(cv * cv);
    const double off = std::log(value / length.mean_dots) + 0.5 * variance;
    return -0.5 * off * off / variance - std::log(value * std::sqrt(2.0 * M_PI * variance));
}

struct Reading {
    std::string text;
    std::string_view elements;
};

class Floor {
 public:
    Floor(std::span<const synth::Mark> marks, const HandTold& told);
    [[nodiscard]] Lattice lattice() const;

 private:
    [[nodiscard]] int steps() const { return static_cast<int>(wander_.size()); }
    // Nodes in order: start; for each number of marks read, "a character ended" then "one begins",
    // each for every step of the speed; end.
    [[nodiscard]] int ended(int marks, int step) const { return 1 + 2 * marks * steps() + step; }
    [[nodiscard]] int begins(int marks, int step) const { return ended(marks, step) + steps(); }
    [[nodiscard]] double dots(double seconds, int step) const {
        return seconds / (dit_s_ * std::exp(wander_[static_cast<std::size_t>(step)]));
    }
    [[nodiscard]] const synth::Mark& mark(int i) const {
        return marks_[static_cast<std::size_t>(i)];
    }
    [[nodiscard]] double gap_after_s(int i) const { return mark(i + 1).on_s - mark(i).off_s; }
    [[nodiscard]] double character_score(int first, const Reading& reading, int step) const;
    [[nodiscard]] std::vector<double> wander_moves(int from, double elapsed_s) const;
    void add_characters(int first, Lattice& lattice) const;
    void add_gaps(int marks_read, Lattice& lattice) const;

    std::span<const synth::Mark> marks_;
    HandTold told_;
    double dit_s_;
    std::vector<double> wander_;  // logarithm of the length of a dot over its mean
    std::vector<Reading> readings_;
};

Floor::Floor(std::span<const synth::Mark> marks, const HandTold& told)
    : marks_(marks), told_(told), dit_s_(dit_s(told.speed_wpm)) {
    if (told.fist.drift > 0.0) {
        const int reach = static_cast<int>(std::lround(kWanderReach / kWanderStep));
        for (int k = -reach; k <= reach; ++k) wander_.push_back(k * kWanderStep * told.fist.drift);
    } else {
        wander_.push_back(0.0);
    }
    for (const char c : told.alphabet) {
        const morse::Symbol* symbol = morse::find_by_text(std::string_view(&c, 1));
        assert(symbol != nullptr);
        readings_.push_back({std::string(1, c), symbol->elements});
    }
}

double Floor::character_score(int first, const Reading& reading, int step) const {
    double score = -std::log(static_cast<double>(readings_.size()));
    for (std::size_t k = 0; k < reading.elements.size(); ++k) {
        const int i = first + static_cast<int>(k);
        const bool dash = reading.elements[k] == '-';
        score += log_normal_density(dots(mark(i).off_s - mark(i).on_s, step),
                                    dash ? told_.fist.dash : told_.fist.dot);
        if (k + 1 < reading.elements.size()) {
            score += log_normal_density(dots(gap_after_s(i), step), told_.fist.element_gap);
        }
    }
    return score;
}

void Floor::add_characters(int first, Lattice& lattice) const {
    for (const Reading& reading : readings_) {
        const int after = first + static_cast<int>(reading.elements.size());
        if (after > static_cast<int>(marks_.size())) continue;
        for (int step = 0; step < steps(); ++step) {
            lattice.add({begins(first, step), ended(after, step),
                         character_score(first, reading, step), reading.text});
        }
    }
}

// Logarithm of the chances to stand at each step of the speed, elapsed_s after standing at one.
std::vector<double> Floor::wander_moves(int from, double elapsed_s) const {
    if (steps() == 1) return {0.0};
    const double keep = std::exp(-elapsed_s / told_.fist.drift_time_s);
    const double sd = told_.fist.drift * std::sqrt(1.0 - keep * keep);
    std::vector<double> chance;
    double sum = 0.0;
    for (const double to : wander_) {
        const double off = (to - keep * wander_[static_cast<std::size_t>(from)]) / sd;
        chance.push_back(std::exp(-0.5 * off * off));
        sum += chance.back();
    }
    for (double& c : chance) c = std::log(c / sum);
    return chance;
}

void Floor::add_gaps(int marks_read, Lattice& lattice) const {
    const int last = marks_read - 1;
    const double gap_s = gap_after_s(last);
    // The wander moves all the time; it is let go once a character, over the time since the last
    // letter's middle on average. Characters are short against drift_time_s.
    const double elapsed_s = mark(marks_read).on_s - mark(std::max(0, last - 2)).on_s;
    for (int from = 0; from < steps(); ++from) {
        const std::vector<double> moves = wander_moves(from, elapsed_s);
        const double inner = std::log1p(-told_.word_gap_share) +
                             log_normal_density(dots(gap_s, from), told_.fist.character_gap);
        const double word = std::log(told_.word_gap_share) +
                            log_normal_density(dots(gap_s, from), told_.fist.word_gap);
        for (int to = 0; to < steps(); ++to) {
            const double move = moves[static_cast<std::size_t>(to)];
            if (!std::isfinite(move)) continue;
            lattice.add({ended(marks_read, from), begins(marks_read, to), inner + move, ""});
            lattice.add({ended(marks_read, from), begins(marks_read, to), word + move, " "});
        }
    }
}

Lattice Floor::lattice() const {
    const int count = static_cast<int>(marks_.size());
    const int end = ended(count, 0) + 2 * steps();
    Lattice lattice(end + 1);
    for (int step = 0; step < steps(); ++step) {
        const double off =
            steps() == 1 ? 0.0 : wander_[static_cast<std::size_t>(step)] / told_.fist.drift;
        lattice.add({0, begins(0, step), -0.5 * off * off, ""});
        lattice.add({ended(count, step), end, 0.0, ""});
    }
    for (int first = 0; first < count; ++first) {
        add_characters(first, lattice);
        if (first > 0) add_gaps(first, lattice);
    }
    lattice.finish();
    return lattice;
}

}  // namespace

std::string decode_timing(std::span<const synth::Mark> marks, const HandTold& told) {
    if (marks.empty()) return {};
    const Lattice lattice = Floor(marks, told).lattice();
    return told.decision == Decision::likeliest ? lattice.likeliest_text()
                                                : lattice.posterior_text();
}

}  // namespace skedlark::accuracy
