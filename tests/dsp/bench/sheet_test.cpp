#include "dsp/bench/sheet.h"

#include <gtest/gtest.h>

namespace skedlark::bench {
namespace {

Measurement sinad(double db, double uncertainty, Known known = Known::value) {
    return {.name = "sinad_db", .figure = {db, uncertainty}, .known = known, .what = "SINAD"};
}

TEST(Sheet, AFigureIsShownAsFinelyAsItsUncertaintyMeans) {
    EXPECT_EQ(figure_text(sinad(20.0412, 0.148)), "20.04 +- 0.15 dB");
    EXPECT_EQ(figure_text(sinad(20.0412, 3.1)), "20.0 +- 3.1 dB");
    EXPECT_EQ(figure_text(sinad(-52.0, 0.0, Known::at_most)), "below -52.000 dB");
    EXPECT_EQ(figure_text(sinad(-52.0, 0.0, Known::at_least)), "above -52.000 dB");
    EXPECT_EQ(difference_text("pitch_hz", {1.25, 0.5}), "+1.25 +- 0.50 Hz");
    EXPECT_EQ(unit_of("drift_hz_per_s"), "Hz/s");
    EXPECT_EQ(unit_of("taps"), "");
}

// The project's own limit of SINAD is at least 12 dB (limits.cpp).
TEST(Sheet, LimitsAreKeptMissedOrNotSettled) {
    Sheet sheet{.test = "tone"};
    sheet.report.measurements = {sinad(20.0, 0.2)};
    EXPECT_TRUE(keeps_limits(sheet));
    sheet.report.measurements = {sinad(11.0, 0.2)};
    EXPECT_FALSE(keeps_limits(sheet));
    sheet.report.measurements = {sinad(11.0, 0.0, Known::at_least)};
    EXPECT_FALSE(keeps_limits(sheet)) << "a bound that does not settle it";
    const auto limit = sheet.limits.of("tone", "sinad_db");
    ASSERT_TRUE(limit);
    EXPECT_EQ(limit_text(*limit), "min 12*");
    EXPECT_EQ(verdict_text(judge(sinad(20.0, 0.2), *limit)), "kept");
    EXPECT_EQ(verdict_text(judge(sinad(11.9, 0.2), *limit)), "MISSED, close");
    EXPECT_EQ(verdict_text(judge(sinad(11.0, 0.0, Known::at_least), *limit)), "not settled");
    EXPECT_EQ(limit_text({.min = 1.0, .max = 2.0, .own = false}), "min 1, max 2");
}

}  // namespace
}  // namespace skedlark::bench
