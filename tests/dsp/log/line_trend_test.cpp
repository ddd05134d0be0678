#include "dsp/log/line_trend.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_fit.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <vector>

#include "tests/support/seed.h"

namespace skedlark::log {
namespace {

// GNU Scientific Library: gsl_fit_linear() and the quantile of Student's distribution.
TEST(LineTrend, SlopeAndIntervalAreThoseOfGsl) {
    std::mt19937_64 random(support::test_seed(1));
    std::normal_distribution<double> noise(0.0, 3.0);
    for (const int count : {3, 5, 20, 200}) {
        std::vector<DatedValue> values;
        std::vector<double> x;
        std::vector<double> y;
        for (int i = 0; i < count; ++i) {
            values.push_back({0.5 * i, 60.0 + 0.7 * i + noise(random)});
            x.push_back(values.back().day);
            y.push_back(values.back().value);
        }
        double c0 = 0;
        double c1 = 0;
        double cov00 = 0;
        double cov01 = 0;
        double cov11 = 0;
        double sum = 0;
        gsl_fit_linear(x.data(), 1, y.data(), 1, x.size(), &c0, &c1, &cov00, &cov01, &cov11, &sum);
        const auto trend = line_trend(values);
        ASSERT_TRUE(trend);
        EXPECT_NEAR(trend->per_day, c1, 1e-9 * std::abs(c1) + 1e-12);
        EXPECT_NEAR(trend->half_width_95, gsl_cdf_tdist_Pinv(0.975, count - 2) * std::sqrt(cov11),
                    1e-6 * trend->half_width_95);
    }
}

TEST(LineTrend, TooLittleTellsNothing) {
    EXPECT_FALSE(line_trend({}));
    const DatedValue two[] = {{0, 1}, {1, 2}};
    EXPECT_FALSE(line_trend(two));
    const DatedValue one_day[] = {{1, 1}, {1, 2}, {1, 3}};
    EXPECT_FALSE(line_trend(one_day));
    const DatedValue holes[] = {{0, 1}, {1, std::nan("")}, {2, 3}, {3, 4}};
    ASSERT_TRUE(line_trend(holes));
    EXPECT_NEAR(line_trend(holes)->per_day, 1.0, 1e-12);
    EXPECT_NEAR(line_trend(holes)->half_width_95, 0.0, 1e-6);
    EXPECT_TRUE(line_trend(holes)->clear());
}

}  // namespace
}  // namespace skedlark::log
