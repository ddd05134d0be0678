#include "dsp/bench/figure.h"

#include <gsl/gsl_cdf.h>
#include <gtest/gtest.h>

namespace skedlark::bench {
namespace {

TEST(Figure, CoverageIsTheNormalQuantile) {
    // Reference: GNU Scientific Library.
    EXPECT_NEAR(expanded_95(2.0), 2.0 * gsl_cdf_ugaussian_Pinv(0.975), 1e-12);
}

TEST(Figure, UncertaintiesOfADifferenceAddAsSquares) {
    const Figure change = difference({10.0, 0.3}, {9.0, 0.4});
    EXPECT_DOUBLE_EQ(change.value, 1.0);
    EXPECT_DOUBLE_EQ(change.uncertainty_95, 0.5);
    EXPECT_TRUE(is_changed(change));
    EXPECT_FALSE(is_changed(difference({9.4, 0.3}, {9.0, 0.4})));
}

}  // namespace
}  // namespace skedlark::bench
