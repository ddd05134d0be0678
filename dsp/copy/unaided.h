// What the evidence alone reads in place of a character that text knowledge helped to read.
//
// Stage:   copy, inside. In: the character, and the agreed text of readings without knowledge.
// Out:     that text there, with its gaps between words; nothing where it is the same.
// Units:   boundaries in frames.
// Errors:  none.
// Threads: pure.
// Checked: tests/dsp/copy/unaided_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/copy/consensus.h"

namespace skedlark::copy {

// Share of readings with a gap between words from which on one is printed.
inline constexpr double kWordGapShare = 0.5;

[[nodiscard]] std::optional<std::string> unaided_reading(
    const AgreedCharacter& character, const std::vector<AgreedCharacter>& unaided);

}  // namespace skedlark::copy
