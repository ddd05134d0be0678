// The n-th smallest of some values, without branches that depend on them.
//
// Stage:   spectrum; medians of levels, where the values are in no order that could be guessed.
// Units:   those of the values.
// Shape:   any number of values, in place: afterwards those before n are not above the one at n,
//          those after it not below.
// Time:    none.
// Errors:  none; values must hold more than n. With values that are not a number the result means
//          nothing, but the call ends.
// Threads: safe from any; does not allocate.
// Source:  Hoare, Algorithm 65: find, Comm. ACM 4 (1961) 321-322; parted by Lomuto's single pass,
//          whose only choice is how far an index moves.
// Checked: tests/dsp/spectrum/nth_smallest_test.cpp, against a full sort
#pragma once

#include <cstddef>
#include <span>

namespace skedlark::spectrum {

float nth_smallest(std::span<float> values, std::size_t n) noexcept;

}  // namespace skedlark::spectrum
