// Draws readings backward through the sums of a trellis, one choice at a time.
//
// Stage:   copy, inside. In: a trellis carried on to now, where a reading ends. Out: Reading.
// Units:   boundaries in frames; the weight is a natural logarithm.
// Shape:   one walk draws many readings; each may be stopped and gone on with.
// Time:    none.
// Errors:  none.
// Threads: one thread per instance; the trellis must outlive it.
// Source:  forward filtering, backward sampling (Scott, J. Amer. Statist. Assoc. 97 (2002) 337-351).
// Checked: tests/dsp/copy/path_sampler_test.cpp
#pragma once

#include <cstdint>
#include <random>
#include <unordered_map>

#include "dsp/copy/path_endings.h"
#include "dsp/copy/sampled_path.h"
#include "dsp/copy/text_knowledge.h"
#include "dsp/copy/text_trellis.h"
#include "dsp/copy/weighted_choice.h"

namespace skedlark::copy {

// One reading, drawn backward as far as `at`, and what is to be drawn next.
struct Reading {
    enum class Next : std::uint8_t { begin, end_character, leave_idle, stray_back, done };
    SampledPath path;  // latest character first, its last mark first
    int hand = 0;
    Next next = Next::done;
    std::int64_t at = 0;
    double log_weight = 0.0;  // by text knowledge
    TextKnowledge::Following following{};
};

class BackwardWalk {
 public:
    // knowledge: of the text, or null; what lies before `stop` counts without it.
    BackwardWalk(const TextTrellis& trellis, std::mt19937& random, std::int64_t stop,
                 const TextKnowledge* knowledge)
        : trellis_(trellis), random_(random), stop_(stop), knowledge_(knowledge) {}

    Reading start(const Ending& ending, std::int64_t now);
    // Draws on until nothing after `until` is open.
    void go_on(Reading& reading, std::int64_t until);

 private:
    double uniform() { return std::generate_canonical<double, 32>(random_); }
    void go_on_with(Reading::Next next, std::int64_t at);
    void open_character(int node, bool complete);
    void add_mark(std::int64_t from, std::int64_t to, int node);
    void weigh_character(int node);
    // A mark that completes `node` ends at t: back through the marks of its character.
    void marks_back(std::int64_t t, int node);
    // A gap (or the start) before a mark under way from t.
    void after_gap(std::int64_t t, int node);
    std::int64_t over_element_gap(std::int64_t t, int node);
    // A character begins at t: which hand sent the one before, and what lies between.
    void begin(std::int64_t t);
    // Which entry of before_character(): silence, gaps between characters as far as `words`, the rest
    // as between words.
    std::size_t pick_before(const WeightedChoice& before, std::size_t words);
    // What may lie before a character of this hand that begins at t: silence, then gaps by length.
    // Paths that have come together ask the same again and again.
    const WeightedChoice& before_character(std::int64_t t);
    // Nothing was being sent at t: back to the character that ended before.
    void leave_idle(std::int64_t t);
    // A character ended at t: which, and what lay before.
    void end_character(std::int64_t t);
    // A mark of keying that is no Morse ends at t: back until Morse or silence comes before it.
    void stray_back(std::int64_t t);
    void stray_begins(std::int64_t t);
    // A gap before a stray mark ends at t. Returns where the stray mark before it ended, or -1
    // where it was silence or a character, which are then followed.
    std::int64_t before_stray_gap(std::int64_t t);
    // Adds a weight for every length of the table, 0 where it would reach back too far.
    template <typename Weight>
    void add_lengths(WeightedChoice& choice, const LengthTable& table, std::int64_t t,
                     const Weight& weight) const;
    template <typename Weight>
    int pick_length(const LengthTable& table, std::int64_t t, const Weight& weight);

    const TextTrellis& trellis_;
    std::mt19937& random_;
    std::int64_t stop_;
    const TextKnowledge* knowledge_;
    Reading* r_ = nullptr;  // the one being drawn
    WeightedChoice choice_;
    std::unordered_map<std::int64_t, WeightedChoice> before_;  // by boundary and hand
};

}  // namespace skedlark::copy
