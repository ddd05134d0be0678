// Seeds of random tests: printed, and taken from TEST_SEED where that is set.
//
// Stage:   tests.
// Errors:  a TEST_SEED that is no number stops the test with a message.
// Use:     std::mt19937_64 random(test_seed(7));
// Threads: call from the test's thread.
// Checked: tests/support/seed_test.cpp
#pragma once

#include <cstdint>

namespace skedlark::support {

// TEST_SEED where set, else fallback; prints "TEST_SEED=n" so that a failure can be repeated.
[[nodiscard]] std::uint64_t test_seed(std::uint64_t fallback);

// Seeds below this are for tuning; accuracy is reported only on this one and those above.
inline constexpr std::uint64_t kFirstReportSeed = 1000;

// An independent seed for part (0, 1, ...) of a run, so that parts do not share random numbers.
// Source: the mixing steps of SplitMix64 (Steele, Lea, Flood, OOPSLA 2014).
[[nodiscard]] std::uint64_t seed_for_part(std::uint64_t seed, std::uint64_t part);

}  // namespace skedlark::support
