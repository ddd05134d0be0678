#include "dsp/copy/log_tables.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::copy {
namespace {

// Against the standard library's Bessel function and logarithm; bounds of the header.
TEST(LogTables, LogBesselIsRight) {
    const LogTables& tables = log_tables();
    EXPECT_EQ(tables.log_bessel_i0(0.0F), 0.0F);
    for (double x = 1e-4; x <= 600.0; x *= 1.0013) {
        const auto rounded = static_cast<float>(x);
        const double exact = std::log(std::cyl_bessel_i(0.0, static_cast<double>(rounded)));
        // A float of 600 is itself known to 3e-5.
        EXPECT_NEAR(static_cast<double>(tables.log_bessel_i0(rounded)), exact, 1e-4 + 1e-7 * x)
            << x;
    }
    // Beyond where I0 itself fits a double: leading term of the asymptotic series (from memory).
    EXPECT_NEAR(static_cast<double>(tables.log_bessel_i0(5000.0F)),
                5000.0 - 0.5 * std::log(2.0 * M_PI * 5000.0), 1e-3);
    EXPECT_TRUE(std::isfinite(tables.log_bessel_i0(1e9F)));
}

TEST(LogTables, LogIsRight) {
    const LogTables& tables = log_tables();
    for (double x = 1e-30; x <= 1e30; x *= 1.0171) {
        const auto rounded = static_cast<float>(x);
        EXPECT_NEAR(static_cast<double>(tables.log(rounded)),
                    std::log(static_cast<double>(rounded)), 2e-5)
            << x;
    }
    EXPECT_EQ(tables.log(1.0F), 0.0F);
}

}  // namespace
}  // namespace skedlark::copy
