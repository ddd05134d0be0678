#include "dsp/bench/batch_means.h"

#include <gsl/gsl_cdf.h>
#include <gtest/gtest.h>

#include <random>

#include "tests/support/seed.h"

namespace skedlark::bench {
namespace {

TEST(BatchMeans, StudentAsInGsl) {
    for (const double dof : {1.0, 4.0, 31.0, 1000.0})
        EXPECT_NEAR(student_95(dof), gsl_cdf_tdist_Pinv(0.975, dof), 1e-9 * student_95(dof));
}

TEST(BatchMeans, MeanAndSpread) {
    const std::vector<double> values{1.0, 2.0, 3.0, 4.0};
    const Figure mean = mean_of(values);
    EXPECT_DOUBLE_EQ(mean.value, 2.5);
    // Variance 5/3, of the mean 5/12; t of 3 degrees of freedom 3.1824 (tables).
    EXPECT_NEAR(mean.uncertainty_95, 3.1824 * std::sqrt(5.0 / 12.0), 1e-4);
    EXPECT_EQ(batch_means(values, 2), (std::vector<double>{1.5, 3.5}));
}

// Values that hang together: single values promise too much, batches hold what they say.
TEST(BatchMeans, CoverWhatHangsTogether) {
    std::mt19937_64 random(support::test_seed(7));
    std::normal_distribution<double> normal;
    int held = 0, held_single = 0;
    for (int run = 0; run < 400; ++run) {
        std::vector<double> values(3200);
        double x = 0.0;
        for (double& v : values) v = x = 0.7 * x + normal(random);
        const Figure batched = mean_of(batch_means(values, 32));
        held += std::abs(batched.value) <= batched.uncertainty_95 ? 1 : 0;
        held_single += std::abs(batched.value) <= mean_of(values).uncertainty_95 ? 1 : 0;
    }
    EXPECT_NEAR(held / 400.0, 0.95, 0.035);
    EXPECT_LT(held_single / 400.0, 0.75);
}

}  // namespace
}  // namespace skedlark::bench
