// How far a mean is to be trusted when its values may hang together in time: means of batches.
//
// Stage:   bench. In: values in order of time. Out: Figure.
// Units:   those of the values.
// Shape:   fewer than 2 values give no uncertainty and are a programmer's mistake.
// Time:    a batch should be longer than what hangs together.
// Errors:  none.
// Threads: pure.
// Source:  Student's t; batch means as in Law and Kelton, Simulation Modeling and Analysis (from memory).
// Checked: tests/dsp/bench/batch_means_test.cpp, t against GSL, coverage over many seeds.
#pragma once

#include <span>
#include <vector>

#include "dsp/bench/figure.h"

namespace skedlark::bench {

// Two-sided 95 % of Student's t; degrees of freedom 1 and more.
[[nodiscard]] double student_95(double degrees_of_freedom);

[[nodiscard]] Figure mean_of(std::span<const double> values);

// Means of `batches` stretches of equal length; a remainder at the end is left out.
[[nodiscard]] std::vector<double> batch_means(std::span<const double> values, int batches);

}  // namespace skedlark::bench
