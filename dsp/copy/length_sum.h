// The inner sum of an explicit-duration model: over all lengths that may end here.
//
// Stage:   copy, inside.
// Units:   none.
// Shape:   sum of past[-i] * odds[i] * factor[i], i from 0 to count - 1; past points to the newest.
// Errors:  none.
// Threads: safe from any; does not allocate.
// Checked: tests/dsp/copy/length_sum_test.cpp
#pragma once

namespace skedlark::copy {

[[nodiscard]] float sum_over_lengths(const float* past, const float* odds, const float* factor,
                                     int count);

}  // namespace skedlark::copy
