#include "dsp/bench/limits.h"

#include <gtest/gtest.h>

namespace skedlark::bench {
namespace {

TEST(Limits, ThoseOfAFileAndTheProjectsOwn) {
    const auto limits =
        Limits::parse("[tone]\nsinad_db = { min = 20 }\npitch_hz={min=690,max=710}\n", "hut.toml");
    ASSERT_TRUE(limits) << limits.error().message;
    EXPECT_EQ(limits->of("tone", "sinad_db")->min, 20.0);
    EXPECT_FALSE(limits->of("tone", "sinad_db")->own);
    EXPECT_EQ(limits->of("tone", "pitch_hz")->max, 710.0);
    EXPECT_TRUE(limits->of("tone", "thd_percent")->own);
    EXPECT_FALSE(limits->of("tone", "level_dbfs"));
    EXPECT_FALSE(limits->of("sofa", "level_dbfs"));
}

TEST(Limits, WhatIsWrongIsNamed) {
    const auto message = [](const char* text) {
        const auto limits = Limits::parse(text, "hut.toml");
        return limits ? "" : limits.error().message;
    };
    const auto has = [&](const char* text, std::initializer_list<const char*> parts) {
        for (const char* part : parts)
            EXPECT_NE(message(text).find(part), std::string::npos) << message(text);
    };
    has("[tone]\nsinadd_db = {min = 1}\n", {"hut.toml:2", "tone.sinadd_db", "sinad_db, "});
    has("[chair]\nx = {min = 1}\n", {"hut.toml:1", "chair", "tone"});
    has("[tone]\nsinad_db = 20\n", {"hut.toml:2", "tone.sinad_db", "{ min = N }"});
    has("[tone]\nsinad_db = {}\n", {"holds no limit"});
    has("[tone]\nsinad_db = {least = 3}\n", {"tone.sinad_db", "least"});
    has("[tone]\nsinad_db = {min = 'x'}\n", {"tone.sinad_db", "min"});
    has("[tone]\nsinad_db = {min = 5, max = 4}\n", {"min 5 is above max 4"});
    has("tone = 3\n", {"must be a table"});
    has("[tone\n", {"hut.toml:1"});
}

TEST(Limits, JudgedWithTheirUncertainty) {
    const auto judged = [](double value, double uncertainty, const Limit& limit,
                           Known known = Known::value) {
        return judge({.figure = {value, uncertainty}, .known = known}, limit);
    };
    const Limit min{.min = 20.0};
    const Limit max{.max = 3.0};
    EXPECT_TRUE(*judged(21.0, 0.5, min).pass);
    EXPECT_TRUE(judged(21.0, 0.5, min).sure);
    EXPECT_FALSE(judged(21.0, 1.5, min).sure);
    EXPECT_FALSE(*judged(19.9, 0.2, min).pass);
    EXPECT_FALSE(*judged(3.1, 0.0, max).pass);
    // Bounds: below 2 keeps a maximum of 3; below 4 settles nothing; below 4 misses a minimum of 20.
    EXPECT_TRUE(*judged(2.0, 0.0, max, Known::at_most).pass);
    EXPECT_FALSE(judged(4.0, 0.0, max, Known::at_most).pass);
    EXPECT_FALSE(*judged(4.0, 0.0, min, Known::at_most).pass);
    EXPECT_TRUE(*judged(22.0, 0.0, min, Known::at_least).pass);
}

}  // namespace
}  // namespace skedlark::bench
