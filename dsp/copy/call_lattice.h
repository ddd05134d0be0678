// Whether expected calls were sent at one speed, against all else that may have been on the air.
//
// Stage:   copy, inside. In: CallFrame. Out: for each call how likely it is to have been sent.
// Units:   likelihoods relative to noise alone, on a scale of their own (log_scale); wpm by PARIS.
// Shape:   any number of frames; the same for any split. One lattice a speed, all levels in it.
// Time:    forward only: what was heard up to now.
// Errors:  none.
// Threads: one thread per instance; process() allocates nothing after the first second.
// Source:  forward sums of a hidden semi-Markov model (Yu, Artificial Intelligence 174, 2010). The
//          rivals of a call are: noise, keying of any text, marks and gaps of no Morse, a key held
//          down; each with a share of what may come next, so that a call sent in other traffic is
//          weighed against that traffic being chance.
// Checked: tests/dsp/copy/call_lattice_test.cpp
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "dsp/copy/call_lanes.h"
#include "dsp/copy/call_marks.h"

namespace skedlark::copy {

// The lengths of this search, in steps.
struct CallLengths {
    explicit CallLengths(double dot_steps);
    LengthTable dot, dash, element_gap, character_gap, word_gap;
    LengthTable any_mark, any_gap;  // of keying whose text is not known
    LengthTable stray_mark;         // of no Morse
    LengthTable held;               // a piece of a key held down
    [[nodiscard]] int longest_mark() const;
};

// Chances a step.
struct CallChances {
    CallChances(double step_s, int held_steps);
    double key, stray, hold, call;  // begin in silence
    double call_again;              // in silence, once it was heard
    double stray_on, stray_off;     // no Morse goes on, is over
    double held_on;                 // after a piece of a held key another
};

// Everything that is no expected call; once for before any was heard, once for after each.
class CallRivals {
 public:
    CallRivals(const CallLengths& lengths, const CallChances& chances)
        : lengths_(lengths), chances_(chances) {}
    void clear(double idle);
    void scale(double factor);
    // To the next boundary; marks: those that end there.
    void advance(const std::vector<Lanes>& marks);
    // A call ended at the boundary reached last: other keying or silence comes next.
    void go_on_after(const Lanes& ended);
    // Leaves this share of the silence to somebody else.
    [[nodiscard]] double take_idle(double share);
    [[nodiscard]] double idle() const { return idle_; }
    // Marks that ended, after which a call may come.
    [[nodiscard]] const LanesPast& ended() const { return ended_; }
    // All of it, what is under way included.
    [[nodiscard]] double total(const std::vector<Lanes>& marks) const;
    // Takes everything over from the other and leaves it empty.
    void swallow(CallRivals& other);

 private:
    const CallLengths& lengths_;
    const CallChances& chances_;
    double idle_ = 0.0;
    double stray_idle_ = 0.0;
    LanesPast begun_, ended_;
    LanesPast stray_begun_, held_begun_;
};

class CallLattice {
 public:
    // calls: letters, figures and the stroke, at least one character each.
    CallLattice(double dot_frames, std::span<const std::string> calls);
    CallLattice(const CallLattice&) = delete;
    CallLattice& operator=(const CallLattice&) = delete;
    CallLattice(CallLattice&&) = delete;
    CallLattice& operator=(CallLattice&&) = delete;

    void process(std::span<const CallFrame> frames);
    void reset();

    // ln of what all explanations are worth together; those with the call in them; those without it,
    // but for one that is just being sent.
    [[nodiscard]] double log_total() const;
    [[nodiscard]] double log_heard(std::size_t call) const;
    [[nodiscard]] double log_not_heard(std::size_t call) const;
    // Multiplies all of it, for speeds to be weighed against each other.
    void add_log(double log_factor) { log_scale_ += log_factor; }
    // So much time has passed: what speaks for calls is worth less, or it would only ever add up.
    void fade(double seconds);
    // A call was told of: what comes later must speak for itself.
    void forget(std::size_t call);

 private:
    struct Mark {
        bool dash = false;
        bool ends_character = false;
        LanesPast begun{}, ended{};
    };
    struct Chain {
        std::vector<Mark> marks;
        CallRivals after;
        [[nodiscard]] double under_way(const CallLengths& lengths,
                                       const std::vector<Lanes>& marks_now) const;
    };
    void step(std::span<const CallFrame> frames);
    void advance(Chain& chain);
    void keep_in_range();

    int step_frames_;
    CallLengths lengths_;
    CallChances chances_;
    CallMarks marks_;
    CallRivals before_;
    std::vector<Chain> chains_;
    std::vector<CallFrame> pending_;
    double log_scale_ = 0.0;
};

}  // namespace skedlark::copy
