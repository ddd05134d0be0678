#include "dsp/bench/quadratic_tail.h"

#include <gsl/gsl_cdf.h>
#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

TEST(QuadraticTail, WhiteNoiseIsChiSquare) {
    // Reference: chi-square quantiles of the GNU Scientific Library. Saddle points err by a few per cent of
    // the chance.
    const std::vector<double> white = {1.0};
    for (const int length : {6, 12, 40}) {
        const auto weights = power_weights(white, length);
        ASSERT_EQ(weights.size(), static_cast<std::size_t>(length));
        for (const double chance : {1e-9, 1e-6, 0.01}) {
            const double low = lower_limit(weights, chance) * length;
            EXPECT_NEAR(gsl_cdf_chisq_P(low, length) / chance, 1.0, 0.1) << length << " " << chance;
            const double high = upper_limit(weights, chance) * length;
            EXPECT_NEAR(gsl_cdf_chisq_Q(high, length) / chance, 1.0, 0.1)
                << length << " " << chance;
        }
        EXPECT_NEAR(degrees_of_freedom(white, length), length, 1e-9);
    }
}

TEST(QuadraticTail, BandLimitedNoiseHasTwiceItsWidthTimesTime) {
    // Covariance of noise 0 to 3 kHz at 24 kHz: sinc. In 100 ms: 600 degrees and a few of the edges.
    std::vector<double> covariance(2400);
    covariance[0] = 1.0;
    for (std::size_t k = 1; k < covariance.size(); ++k) {
        const double x = std::numbers::pi * static_cast<double>(k) / 4.0;
        covariance[k] = std::sin(x) / x;
    }
    EXPECT_NEAR(degrees_of_freedom(covariance, 2400), 600.0, 6.0);
}

TEST(QuadraticTail, DrawnNoiseFallsBelowAsOftenAsSaid) {
    // Two-sample moving mean of white noise: covariance 1, 1/2.
    const std::vector<double> covariance = {1.0, 0.5};
    const double limit = lower_limit(power_weights(covariance, 20), 0.01);
    std::mt19937_64 random(support::test_seed(11));
    std::normal_distribution<double> normal;
    int below = 0;
    for (int n = 0; n < 100000; ++n) {
        double last = normal(random), power = 0.0;
        for (int i = 0; i < 20; ++i) {
            const double next = normal(random);
            power += 0.5 * (last + next) * (last + next) / 20.0;
            last = next;
        }
        if (power < limit) ++below;
    }
    EXPECT_NEAR(below / 1000.0, 1.0, 0.12);
}

}  // namespace
}  // namespace skedlark::bench
