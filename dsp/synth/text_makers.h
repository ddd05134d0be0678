// Texts to send: code groups, figures, calls, and plain sentences of an invented mountain-hut
// relief net.
//
// Stage:   synth. Out: text inside the Morse code.
// Units:   counts.
// Shape:   none.
// Time:    none.
// Errors:  none; a count below 1 gives empty text.
// Threads: pure but for the Random handed in.
// Source:  everything is invented; calls come from a series nobody has, QVA to QZZ.
// Checked: tests/dsp/synth/text_makers_test.cpp
#pragma once

#include <string>

#include "dsp/synth/random.h"

namespace skedlark::synth {

enum class GroupKind { letters, figures, mixed };

// Five-character groups, every character equally likely.
[[nodiscard]] std::string random_groups(int groups, GroupKind kind, Random& random);
// A call such as QVA7 or QXB2.
[[nodiscard]] std::string random_call(Random& random);
[[nodiscard]] std::string random_calls(int calls, Random& random);
// Plain sentences, each ended by a full stop or BT.
[[nodiscard]] std::string plain_text(int sentences, Random& random);
// A weather message in figure groups with its station and hour.
[[nodiscard]] std::string weather_groups(int groups, Random& random);
// A call-up from one station to another, with invitation to transmit.
[[nodiscard]] std::string call_up(const std::string& called, const std::string& own);

}  // namespace skedlark::synth
