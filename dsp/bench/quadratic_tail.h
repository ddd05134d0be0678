// How little, and how much, power a short piece of coloured Gaussian noise holds by chance.
//
// Stage:   bench. In: autocovariance of the noise, length of the piece. Out: limits of its mean power.
// Units:   power over the mean power; chances 0 to 1; lengths in samples.
// Shape:   pieces of 2 samples and more; up to kMaxExact samples by eigenvalues (longer ones are thinned or
//          taken as a gamma variable of the same two moments).
// Time:    none.
// Errors:  none; covariance[0] must be above 0.
// Threads: pure.
// Source:  a sum of squares of correlated normals is one of independent ones weighted by the eigenvalues of
//          the covariance; its tails by the saddle point (Lugannani and Rice, Adv. Appl. Prob. 12 (1980)
//          475-490; Kuonen, Biometrika 86 (1999) 929-935).
// Checked: tests/dsp/bench/quadratic_tail_test.cpp, against the chi-square law (GSL) and drawn noise
#pragma once

#include <span>
#include <vector>

namespace skedlark::bench {

// Weights of the independent squares that make the mean power, their sum 1, largest first.
[[nodiscard]] std::vector<double> power_weights(std::span<const double> covariance, int length);

// P(power < limit) = chance, chance below one half; and P(power > limit) = chance.
[[nodiscard]] double lower_limit(std::span<const double> weights, double chance);
[[nodiscard]] double upper_limit(std::span<const double> weights, double chance);
// Degrees of freedom of a chi-square of the same spread.
[[nodiscard]] double degrees_of_freedom(std::span<const double> covariance, int length);

}  // namespace skedlark::bench
