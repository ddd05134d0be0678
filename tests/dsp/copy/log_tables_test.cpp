#include "dsp/copy/log_tables.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::copy {
namespace {

// Against the standard library's Bessel function and logarithm; bounds of the header.
TEST(LogTables, LogBesselIsRight) {
    const LogTables& tables = log_tables();
    EXPECT_NEAR(tables.log_bessel_i0(0.0F), 0.0F, 1e-5F);
    for (double x = 1e-7; x <= 600.0; x *= 1.0013) {
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

TEST(LogTables, ExpIsRight) {
    const LogTables& tables = log_tables();
    for (double x = -80.0; x <= 80.0; x += 0.0137) {
        const auto rounded = static_cast<float>(x);
        const double exact = std::exp(static_cast<double>(rounded));
        EXPECT_NEAR(static_cast<double>(tables.exp(rounded)) / exact, 1.0, 2e-5) << x;
    }
    EXPECT_EQ(tables.exp(0.0F), 1.0F);
    EXPECT_LT(tables.exp(-88.0F), 1e-37F);
    for (const float x : {-89.0F, -1000.0F, -1e7F}) {
        EXPECT_EQ(tables.exp(x), 0.0F) << x;
    }
}

}  // namespace
}  // namespace skedlark::copy
