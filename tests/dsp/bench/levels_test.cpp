#include "dsp/bench/levels.h"

#include <gtest/gtest.h>

namespace skedlark::bench {
namespace {

std::string message(const std::string& text) {
    const auto levels = parse_levels(text, "series.csv");
    return levels ? "" : levels.error().message;
}

// 1 microvolt across 50 ohm is -106.99 dBm, 50 of them -73.01; as electromotive force -113.01.
TEST(Levels, MicrovoltsInDbm) {
    EXPECT_NEAR(dbm_from_microvolt(1.0), -106.99, 0.005);
    EXPECT_NEAR(dbm_from_microvolt(50.0), -73.01, 0.005);
    EXPECT_NEAR(microvolt_from_dbm(-106.9897), 1.0, 1e-4);
    const auto emf = parse_levels("seconds,microvolt_emf\n0,off\n5,1\n", "a.csv");
    ASSERT_TRUE(emf);
    EXPECT_NEAR(*emf->at(1).dbm, -113.01, 0.005);
}

TEST(Levels, TimedCountedAndByFrequency) {
    const auto timed =
        parse_levels("# a series\nseconds,dbm\n0,off\n10, -120\n\n20,-115\r\n30,end\n", "a.csv");
    ASSERT_TRUE(timed) << timed.error().message;
    ASSERT_EQ(timed->size(), 3U);
    EXPECT_FALSE(timed->at(0).dbm);
    EXPECT_EQ(timed->at(0).to_s, 10.0);
    EXPECT_EQ(timed->at(2).dbm, -115.0);
    EXPECT_EQ(timed->at(2).to_s, 30.0);
    const auto counted = parse_levels("step,dbm\n1,off\n2,-120\n", "a.csv");
    ASSERT_TRUE(counted);
    EXPECT_FALSE(counted->at(0).from_s);
    // Levels rise within one point; the next begins low again.
    const auto points =
        parse_levels("seconds,dbm,mhz\n0,off,3.5\n9,-120,3.5\n18,-110,3.5\n27,-121,4\n", "a.csv");
    ASSERT_TRUE(points) << points.error().message;
    EXPECT_EQ(points->at(3).mhz, 4.0);
}

TEST(Levels, WhatIsWrongIsNamed) {
    const auto has = [](const std::string& text, const std::string& part) {
        EXPECT_NE(message(text).find(part), std::string::npos) << message(text);
    };
    has("", "heading");
    has("seconds,dbm\n", "no step");
    has("0,off\n", "heading");
    has("seconds,volts\n", "heading");
    has("seconds,dbm\n0,off\n20,-120\n10,-110\n", "series.csv:4: steps out of order");
    has("step,dbm\n1,off\n3,-120\n", "steps out of order");
    has("seconds,dbm\n0,off\n10,\n", "level is missing");
    has("seconds,dbm\n0,off\n10,loud\n", "'loud'");
    has("seconds,dbm\n0,off\n10,-110\n20,-115\n", "must rise");
    has("seconds,dbm\n0,off\n10,-110\n20,-110\n", "must rise");
    has("seconds,microvolt\n0,0\n", "above 0");
    has("seconds,dbm\n0,60\n", "60.0 dBm");
    has("seconds,dbm\n0\n", "columns");
    has("seconds,dbm,mhz\n0,off,green\n", "mhz");
    has("seconds,dbm\n0,off\n5,end\n9,-110\n", "behind the end");
    has("seconds,dbm\nnan,off\n", "'nan'");
    EXPECT_FALSE(read_levels("/nowhere.csv"));
}

}  // namespace
}  // namespace skedlark::bench
