// The way in which marks are a sending of a text, turned into errors a trainee can read.
//
// Stage:   fist, inside. In: FoundWay, the kinds of its marks and gaps. Out: errors and counts of an
//          Alignment.
// Units:   seconds from the audio's start.
// Shape:   errors in order of time; neighbours that are left out, or put in, make one error.
// Time:    none.
// Errors:  none.
// Threads: pure.
// Source:  none
// Checked: tests/dsp/fist/text_errors_test.cpp
#pragma once

#include <span>

#include "dsp/fist/alignment.h"
#include "dsp/fist/text_search.h"

namespace skedlark::fist {

// Fills in errors, right, right_at, reached, corrections, repeats and the counts of elements.
void write_text_errors(const Keying& keying, std::span<const MeantCharacter> text,
                       const FoundWay& way, const Kinds& kinds, Alignment& out);

}  // namespace skedlark::fist
