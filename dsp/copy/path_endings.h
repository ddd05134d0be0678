// What may be under way where the text search stands now, with the odds of each: where a reading
// that is drawn backward begins.
//
// Stage:   copy, inside. In: a trellis carried on to now, and its evidence. Out: a list to draw
//          from.
// Units:   weights on the scale of the trellis at now.
// Shape:   boundaries in frames.
// Errors:  none.
// Threads: one thread per instance. Allocates.
// Source:  the last step of the forward pass of an explicit-duration model: a mark or gap that is
//          not over counts with the odds of lasting at least so long (Yu, Artificial Intelligence
//          174, 2010).
// Checked: tests/dsp/copy/path_endings_test.cpp; the shares in path_sampler_test.cpp, against a
//          plain sum
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "dsp/copy/text_trellis.h"
#include "dsp/copy/weighted_choice.h"

namespace skedlark::copy {

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

class PathEndings {
 public:
    PathEndings(const TextTrellis& trellis, const MarkEvidence& evidence);
    [[nodiscard]] bool possible() const { return choice_.possible(); }
    // uniform: from 0 to below 1.
    [[nodiscard]] const Ending& pick(double uniform) const { return list_[choice_.pick(uniform)]; }

 private:
    void add(const Ending& ending, double weight);
    void add_gaps(int hand);
    void add_marks(int hand);
    void add_stray();
    // Too small beside what is there already ever to be drawn.
    [[nodiscard]] bool negligible(double weight) const { return weight < 1e-8 * choice_.total(); }
    // Evidence of a mark under way since t.
    [[nodiscard]] double open_mark(std::int64_t t) const;

    const TextTrellis& trellis_;
    std::array<float, kLongestMark> open_mark_ratios_{};  // by length less 1
    int open_marks_ = 0;                                  // so many are there, the rest hopeless
    WeightedChoice choice_;
    std::vector<Ending> list_;
};

}  // namespace skedlark::copy
