#include "tests/accuracy/dot_decisions.h"

#include <gtest/gtest.h>

#include "dsp/core/units.h"
#include "tests/support/on_off_error.h"
#include "tests/support/seed.h"

namespace skedlark::accuracy {
namespace {

// Source: the on-off table of a textbook formula (on_off_error_test.cpp), at 10 and 8 dB of dot
// energy: .02686 and .07359. Some 4,000 dots: 12 and 7 % of the rate are one sigma. The follower's
// filter and tracking may cost 0.6 dB, and nothing can be won over theory but by chance (0.4 dB).
TEST(DotDecisions, FollowerReachesTheNoncoherentErrorRate) {
    const std::uint64_t seed = support::test_seed(30);
    for (const double energy_db : {8.0, 10.0}) {
        const double snr = energy_db - db_from_power(2500.0) - db_from_power(0.060);
        DotCounts counts;
        for (std::uint64_t part = 0; part < 4; ++part) {
            const auto run = decide_dots({.snr_2500hz_db = snr, .groups = 16},
                                         support::seed_for_part(seed, part));
            ASSERT_TRUE(run.ok()) << run.error().message;
            counts += *run;
        }
        EXPECT_GT(counts.marks + counts.gaps, 3500);
        const double loss_db = energy_db - energy_db_for_error(counts.error_rate());
        EXPECT_LT(loss_db, 0.6) << energy_db << " dB: " << counts.error_rate();
        EXPECT_GT(loss_db, -0.4) << energy_db << " dB: " << counts.error_rate();
    }
}

TEST(DotDecisions, InverseOfTheTable) {
    EXPECT_NEAR(energy_db_for_error(.02686), 10.0, 0.01);
    EXPECT_NEAR(energy_db_for_error(1e-3), 13.52, 0.01);
}

}  // namespace
}  // namespace skedlark::accuracy
