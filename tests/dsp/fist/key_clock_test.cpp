#include "dsp/fist/key_clock.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::fist {
namespace {

// Handed on up to 40 ms late, the stamps keep the lengths.
TEST(KeyClock, StampsKeepLengthsThatHandingOnWouldSpoil) {
    KeyClock clock;
    double first = 0.0;
    for (int i = 0; i < 50; ++i) {
        const double pressed_s = 100.0 + 0.1 * i;
        const double late_s = 0.04 * ((i * 7) % 11) / 10.0;
        const double at = clock.at_s(
            pressed_s + late_s, static_cast<std::uint64_t>(std::llround(1e3 * pressed_s)) - 7000U);
        if (i == 0) first = at;
        EXPECT_NEAR(at - first, 0.1 * i, 1e-9);
    }
    EXPECT_EQ(clock.at_s(5.0, std::nullopt), 5.0);
}

}  // namespace
}  // namespace skedlark::fist
