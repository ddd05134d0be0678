// Against RFC 3339 section 5.8 (its examples) and counts of days that can be looked up.
#include "dsp/core/utc.h"

#include <gtest/gtest.h>

#include <random>

#include "tests/support/seed.h"

namespace skedlark {
namespace {

using std::chrono::milliseconds;

std::int64_t ms_of(std::string_view text) {
    const auto time = parse_utc(text);
    EXPECT_TRUE(time) << text;
    return time ? time->time_since_epoch().count() : -1;
}

// Unix time 1,000,000,000 was 2001-09-09T01:46:40Z, 1,234,567,890 was 2009-02-13T23:31:30Z
// (widely noted moments; POSIX.1 "seconds since the Epoch").
TEST(Utc, KnownMoments) {
    EXPECT_EQ(ms_of("1970-01-01T00:00:00Z"), 0);
    EXPECT_EQ(ms_of("2001-09-09T01:46:40Z"), 1'000'000'000'000);
    EXPECT_EQ(ms_of("2009-02-13 23:31:30"), 1'234'567'890'000);
    EXPECT_EQ(ms_of("2009-02-13"), ms_of("2009-02-13T00:00Z"));
}

// RFC 3339 section 5.8.
TEST(Utc, ExamplesOfTheStandard) {
    EXPECT_EQ(utc_text(UtcTime(milliseconds(ms_of("1985-04-12T23:20:50.52Z")))),
              "1985-04-12T23:20:50.520Z");
    EXPECT_EQ(ms_of("1996-12-19T16:39:57-08:00"), ms_of("1996-12-20T00:39:57Z"));
    EXPECT_EQ(ms_of("1990-12-31T23:59:60Z"), ms_of("1991-01-01T00:00:00Z"));
    EXPECT_EQ(ms_of("1990-12-31T15:59:60-08:00"), ms_of("1990-12-31T23:59:60Z"));
}

TEST(Utc, SaysWhetherTimeAndOffsetWereWritten) {
    EXPECT_FALSE(parse_written_time("2026-11-26")->has_time);
    EXPECT_FALSE(parse_written_time("2026-11-26T18:30")->offset);
    EXPECT_EQ(*parse_written_time("2026-11-26T18:30+01:30")->offset, std::chrono::minutes(90));
    EXPECT_EQ(*parse_written_time("2026-11-26T18:30z")->offset, std::chrono::minutes(0));
}

TEST(Utc, WhatIsNoTimeIsRefused) {
    for (const char* text : {"",
                             "now",
                             "2026",
                             "2026-13-01",
                             "2026-02-29",
                             "2026-00-10",
                             "2026-11-31",
                             "1969-12-31",
                             "2200-01-01",
                             "2026-11-26T",
                             "2026-11-26T24:00",
                             "2026-11-26T18:60",
                             "2026-11-26T18",
                             "2026-11-26T18:30:61Z",
                             "2026-11-26T18:30:00.Z",
                             "2026-11-26T18:30ZZ",
                             "2026-11-26T18:30+1:00",
                             "2026-11-26T-1:30",
                             "2026-11-26Z",
                             "+026-11-26",
                             "2026-11-26T18:30 Z"}) {
        const auto time = parse_utc(text);
        ASSERT_FALSE(time) << text;
        EXPECT_NE(time.error().message.find("2026-11-26T18:30Z"), std::string::npos);
    }
    EXPECT_TRUE(parse_utc("2028-02-29"));
}

TEST(Utc, WritingAndReadingAreInverse) {
    std::mt19937_64 random(support::test_seed(3));
    std::uniform_int_distribution<std::int64_t> any(0, 7'258'118'399'999);  // to the end of 2199
    for (int i = 0; i < 2000; ++i) {
        const UtcTime time{milliseconds(any(random))};
        const auto again = parse_utc(utc_text(time));
        ASSERT_TRUE(again) << utc_text(time);
        EXPECT_EQ(*again, time);
    }
}

}  // namespace
}  // namespace skedlark
