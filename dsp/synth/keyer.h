// Text to key-down times, as a given hand sends it.
//
// Stage:   synth. In: text. Out: marks and characters with their times.
// Units:   seconds from the scene's start.
// Shape:   each send() goes on where the hand is: its speed wander carries over.
// Time:    exact; a character lasts from its first mark's start to its last mark's end, a word gap
//          (text " ") from one mark's end to the next one's start.
// Errors:  send() returns invalid_value for text outside the code.
// Threads: one thread per instance.
// Source:  50-unit word PARIS; Bloom, QEX April 1990, for overall_wpm. Worked out here again on
//          purpose: the stages under test have their own.
// Checked: tests/dsp/synth/keyer_test.cpp
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/synth/fist.h"
#include "dsp/synth/random.h"

namespace skedlark::synth {

struct Mark {
    double on_s = 0.0;
    double off_s = 0.0;
    bool dash = false;
    friend bool operator==(const Mark&, const Mark&) = default;
};

struct KeyedCharacter {
    std::string text;  // "A", " ", or the letters of a procedure signal
    bool procedure = false;
    double from_s = 0.0;
    double to_s = 0.0;
};

struct Keyed {
    std::vector<Mark> marks;
    std::vector<KeyedCharacter> characters;
};

struct KeyerConfig {
    double speed_wpm = 20.0;   // 4 to 60, of the characters
    double overall_wpm = 0.0;  // 0: standard gaps; else 2 to speed_wpm, with stretched spacing
    Fist fist{};
};

class Keyer {
 public:
    Keyer(const KeyerConfig& config, std::uint64_t seed);

    // Appends to keyed, first mark at at_s (or a word gap after what is there, if that is later).
    // Returns the end of the last mark.
    [[nodiscard]] Result<double> send(std::string_view text, double at_s, Keyed& keyed);

 private:
    double length_s(const Length& length, double stretch);
    void send_character(std::string_view elements, Keyed& keyed);
    void wander(double elapsed_s);

    KeyerConfig config_;
    Random random_;
    double dot_s_;
    double gap_stretch_ = 1.0;
    double log_speed_ = 0.0;  // relative wander of all lengths, logarithm
    double now_s_ = 0.0;
    bool begun_ = false;
};

}  // namespace skedlark::synth
