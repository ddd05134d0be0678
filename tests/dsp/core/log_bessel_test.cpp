#include "dsp/core/log_bessel.h"

#include <gsl/gsl_sf_bessel.h>
#include <gtest/gtest.h>

namespace skedlark {
namespace {

TEST(LogBessel, AgreesWithTheReferenceLibrary) {
    EXPECT_DOUBLE_EQ(log_bessel_i0(0.0), 0.0);
    for (double x = 0.001; x < 5000.0; x *= 1.07) {
        // Reference: GNU Scientific Library, exp(-x) I0(x).
        EXPECT_NEAR(log_bessel_i0(x), x + std::log(gsl_sf_bessel_I0_scaled(x)), 1e-5) << x;
    }
}

TEST(LogBessel, StaysFinite) { EXPECT_TRUE(std::isfinite(log_bessel_i0(1e300))); }

}  // namespace
}  // namespace skedlark
