#include "gui/sweep/station_rows.h"

#include <gtest/gtest.h>

namespace skedlark::gui {
namespace {

std::vector<watch::SweepStation> three() {
    std::vector<watch::SweepStation> met(3);
    met[0].broadcast = true;
    met[1].keyed = true;
    met[1].div = 42.814;
    met[1].low95_div = 42.52;
    met[1].high95_div = 43.11;
    met[1].mhz = 3.79819;
    met[1].snr_2500hz_db = -13.34;
    met[1].false_alarm_odds = 0.0123;
    met[1].expected_call = watch::CallHeard{};
    met[1].expected_call->call = "QXB2";
    met[1].expected_call->confidence = 0.93;
    return met;
}

TEST(StationRows, ARowSaysInWordsWhatTheShapeSays) {
    const auto met = three();
    const auto rows = rows_of(met, &met[1]);
    ASSERT_EQ(rows.size(), 3U);
    EXPECT_EQ(rows[0].word, "broadcast");
    EXPECT_EQ(rows[1].word, "keyed");
    EXPECT_EQ(rows[2].word, "unknown");
    EXPECT_EQ(rows[2].number, 3);
    EXPECT_TRUE(rows[1].go_back);
    EXPECT_FALSE(rows[0].go_back);
}

TEST(StationRows, FiguresWithNoMorePlacesThanTheyAreGoodFor) {
    const auto met = three();
    const auto row = rows_of(met, nullptr)[1];
    EXPECT_EQ(row.division, "42.81  (42.52 to 43.11)");
    EXPECT_EQ(row.mhz, "3.7982");
    EXPECT_EQ(row.snr, "-13.3");
    EXPECT_EQ(row.odds, "0.012");
    EXPECT_EQ(row.call, "QXB2 93 %");
    EXPECT_EQ(rows_of(met, nullptr)[0].odds, "under 1e-9");
}

}  // namespace
}  // namespace skedlark::gui
