#include "dsp/bench/change.h"

#include <gtest/gtest.h>

#include <limits>

namespace skedlark::bench {
namespace {

Measurement figure(const char* name, double value, double uncertainty_95, const char* at = "") {
    return {.name = name, .figure = {value, uncertainty_95}, .at = at};
}
Measurement bound(const char* name, double value, Known known) {
    return {.name = name, .figure = {value, 0.0}, .known = known};
}
std::optional<bool> changed(const Measurement& before, const Measurement& after) {
    return changes(std::vector{before}, std::vector{after}).front().changed;
}

TEST(Change, IsWhatTheUncertaintiesDoNotExplain) {
    // 3-4-5: independent uncertainties add as squares (JCGM 100:2008, 5.1.2).
    const auto all = changes(std::vector{figure("sinad_db", 9.0, 0.4)},
                             std::vector{figure("sinad_db", 10.0, 0.3)});
    ASSERT_EQ(all.size(), 1U);
    ASSERT_TRUE(all[0].difference);
    EXPECT_DOUBLE_EQ(all[0].difference->value, 1.0);
    EXPECT_DOUBLE_EQ(all[0].difference->uncertainty_95, 0.5);
    EXPECT_EQ(all[0].changed, true);
    EXPECT_EQ(changed(figure("sinad_db", 9.0, 0.4), figure("sinad_db", 9.4, 0.3)), false);
    EXPECT_EQ(changed(figure("sinad_db", 9.0, 0.4), figure("sinad_db", 8.0, 0.3)), true);
}

TEST(Change, BoundsTellAChangeOrNothing) {
    const Measurement below = bound("thd_db", -50.0, Known::at_most);
    EXPECT_EQ(changed(figure("thd_db", -40.0, 2.0), below), true);
    EXPECT_EQ(changed(below, figure("thd_db", -40.0, 2.0)), true);
    EXPECT_EQ(changed(figure("thd_db", -49.0, 2.0), below), std::nullopt);
    EXPECT_EQ(changed(below, bound("thd_db", -60.0, Known::at_most)), std::nullopt);
    EXPECT_EQ(changed(below, bound("thd_db", -45.0, Known::at_least)), true);
    EXPECT_EQ(changed(figure("thd_db", -40.0, 2.0), bound("thd_db", -41.0, Known::at_least)),
              std::nullopt);
}

TEST(Change, MatchedByNameAndWhereAndOrder) {
    const auto all =
        changes(std::vector{figure("level_dbm", 1.0, 0.1, "3.5 MHz"), figure("pitch_hz", 2.0, 0.1),
                            figure("pitch_hz", 3.0, 0.1)},
                std::vector{figure("pitch_hz", 2.0, 0.1), figure("pitch_hz", 5.0, 0.1),
                            figure("level_dbm", 1.0, 0.1, "7 MHz")});
    ASSERT_EQ(all.size(), 4U);
    EXPECT_FALSE(all[0].after);
    EXPECT_FALSE(all[0].changed);
    EXPECT_EQ(all[1].changed, false);
    EXPECT_EQ(all[2].changed, true);
    EXPECT_FALSE(all[3].before);
    EXPECT_EQ(all[3].either().at, "7 MHz");
    EXPECT_FALSE(all[3].difference);
}

TEST(Change, LinesOfASupplyThatMovedAreTheSameLines) {
    const auto all = changes(std::vector{figure("line_dbfs", -40.0, 0.5, "50 Hz"),
                                         figure("line_dbfs", -30.0, 0.5, "100 Hz")},
                             std::vector{figure("line_dbfs", -50.0, 0.5, "100.2 Hz"),
                                         figure("line_dbfs", -40.0, 0.5, "50.1 Hz"),
                                         figure("line_dbfs", -60.0, 0.5, "150.3 Hz")});
    ASSERT_EQ(all.size(), 3U);
    EXPECT_EQ(all[0].changed, false);
    EXPECT_EQ(all[1].changed, true);
    EXPECT_FALSE(all[2].before);
}

TEST(Change, WithoutANumberNothingIsTold) {
    const double none = std::numeric_limits<double>::quiet_NaN();
    EXPECT_EQ(changed(figure("a_db", none, 1.0), figure("a_db", 1.0, 0.1)), std::nullopt);
    EXPECT_EQ(changed(figure("a_db", 1.0, none), figure("a_db", 9.0, 0.1)), std::nullopt);
    EXPECT_TRUE(changes({}, {}).empty());
}

}  // namespace
}  // namespace skedlark::bench
