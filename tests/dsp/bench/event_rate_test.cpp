#include "dsp/bench/event_rate.h"

#include <gsl/gsl_cdf.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

TEST(EventRate, EndsAreThoseOfTheMidChance) {
    // Reference: Poisson distribution of the GNU Scientific Library.
    for (const unsigned count : {1U, 3U, 17U, 200U}) {
        const EventRate rate = event_rate(count, 10.0);
        EXPECT_DOUBLE_EQ(rate.per_s, count / 10.0);
        const auto below = [&](double mean) {
            return 0.5 * (gsl_cdf_poisson_P(count, mean) + gsl_cdf_poisson_P(count - 1, mean));
        };
        EXPECT_NEAR(below(rate.low_per_s * 10.0), 0.975, 1e-9);
        EXPECT_NEAR(below(rate.high_per_s * 10.0), 0.025, 1e-9);
    }
}

TEST(EventRate, NoneSeenStillHasAnUpperEnd) {
    // exp(-m) / 2 = 0.025: the rule of three.
    const EventRate rate = event_rate(0, 60.0);
    EXPECT_EQ(rate.low_per_s, 0.0);
    EXPECT_NEAR(rate.high_per_s * 60.0, std::log(20.0), 1e-9);
    EXPECT_TRUE(std::isinf(event_rate(0, 0.0).high_per_s));
}

TEST(EventRate, HoldsTheTruthNineteenTimesInTwenty) {
    std::mt19937_64 random(support::test_seed(5));
    for (const double mean : {4.0, 12.0, 60.0}) {
        std::poisson_distribution<long> draw(mean);
        int inside = 0;
        for (int n = 0; n < 1000; ++n) {
            const EventRate rate = event_rate(draw(random), 1.0);
            if (rate.low_per_s <= mean && mean <= rate.high_per_s) ++inside;
        }
        // Counts are whole, so no interval holds exactly 95 %.
        EXPECT_GT(inside / 1000.0, 0.92) << mean;
        EXPECT_LT(inside / 1000.0, 0.98) << mean;
    }
}

TEST(EventRate, RatioHoldsTheTruthAndSeesARise) {
    std::mt19937_64 random(support::test_seed(6));
    std::poisson_distribution<long> touched(24.0), rest(12.0);
    int inside = 0, raised = 0;
    for (int n = 0; n < 1000; ++n) {
        const RateRatio ratio =
            rate_ratio(event_rate(touched(random), 20.0), event_rate(rest(random), 40.0));
        if (ratio.low <= 4.0 && 4.0 <= ratio.high) ++inside;
        if (ratio.raised()) ++raised;
    }
    EXPECT_NEAR(inside / 1000.0, 0.95, 0.02);
    EXPECT_GT(raised, 950);
    int false_alarms = 0;
    std::poisson_distribution<long> same(15.0);
    for (int n = 0; n < 1000; ++n) {
        if (rate_ratio(event_rate(same(random), 20.0), event_rate(same(random), 20.0)).raised())
            ++false_alarms;
    }
    EXPECT_LT(false_alarms / 1000.0, 0.035);
}

TEST(EventRate, NothingSeenIsNoRise) {
    const RateRatio none = rate_ratio(event_rate(0, 10.0), event_rate(0, 10.0));
    EXPECT_FALSE(none.raised());
    EXPECT_EQ(none.low, 0.0);
    EXPECT_TRUE(std::isinf(rate_ratio(event_rate(5, 10.0), event_rate(0, 10.0)).ratio));
}

}  // namespace
}  // namespace skedlark::bench
