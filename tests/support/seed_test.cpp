#include "tests/support/seed.h"

#include <gtest/gtest.h>

#include <cstdlib>
#include <set>

namespace skedlark::support {
namespace {

TEST(Seed, EnvironmentWins) {
    const char* before = std::getenv("TEST_SEED");
    const std::string kept = before != nullptr ? before : "";
    ::setenv("TEST_SEED", "4711", 1);
    EXPECT_EQ(test_seed(1), 4711U);
    ::unsetenv("TEST_SEED");
    EXPECT_EQ(test_seed(1), 1U);
    if (before != nullptr) ::setenv("TEST_SEED", kept.c_str(), 1);
}

TEST(Seed, NoNumberStopsTheTest) {
    EXPECT_DEATH(
        {
            ::setenv("TEST_SEED", "seven", 1);
            (void)test_seed(1);
        },
        "whole number");
}

// Source: the first outputs of SplitMix64 started at 1234567, as listed with the public reference
// program (from memory): 6457827717110365317, 3203168211198807973, 9817491932198370423.
TEST(Seed, PartsFollowThePublishedSequence) {
    EXPECT_EQ(seed_for_part(1234567, 0), 6457827717110365317ULL);
    EXPECT_EQ(seed_for_part(1234567, 1), 3203168211198807973ULL);
    EXPECT_EQ(seed_for_part(1234567, 2), 9817491932198370423ULL);
}

TEST(Seed, PartsDiffer) {
    std::set<std::uint64_t> seen;
    for (std::uint64_t seed = 0; seed < 50; ++seed) {
        for (std::uint64_t part = 0; part < 50; ++part) seen.insert(seed_for_part(seed, part));
    }
    EXPECT_EQ(seen.size(), 2500U);
}

}  // namespace
}  // namespace skedlark::support
