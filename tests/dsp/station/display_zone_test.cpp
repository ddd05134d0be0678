// Against rules that are widely published: summer time in the European Union begins on the last
// Sunday of March and ends on the last Sunday of October at 01:00 UTC (Directive 2000/84/EC).
#include "dsp/station/display_zone.h"

#include <gtest/gtest.h>

namespace skedlark::station {
namespace {

std::string shown(const std::string& zone, const char* utc) {
    const auto local = local_time(zone, *parse_utc(utc));
    if (!local) return local.error().message;
    return utc_text(UtcTime(local->written.clock.time_since_epoch())).substr(0, 16) + " " +
           local->abbreviation + " " + std::to_string(local->written.offset->count());
}

TEST(DisplayZone, WinterAndSummer) {
    EXPECT_EQ(shown("Europe/Vienna", "2026-11-26T18:30Z"), "2026-11-26T19:30 CET 60");
    EXPECT_EQ(shown("Europe/Vienna", "2026-07-26T18:30Z"), "2026-07-26T20:30 CEST 120");
    EXPECT_EQ(shown("Europe/Vienna", "2026-03-29T00:59Z"), "2026-03-29T01:59 CET 60");
    EXPECT_EQ(shown("Europe/Vienna", "2026-03-29T01:00Z"), "2026-03-29T03:00 CEST 120");
    EXPECT_EQ(shown("UTC", "2026-11-26T18:30Z"), "2026-11-26T18:30 UTC 0");
    // Nepal is 5 h 45 min east (since 1986).
    EXPECT_EQ(shown("Asia/Kathmandu", "2026-11-26T18:30Z").substr(0, 16), "2026-11-27T00:15");
}

Result<UtcTime> back(const std::string& text) {
    return utc_from_local("Europe/Vienna", *parse_written_time(text));
}

TEST(DisplayZone, BackToUtc) {
    EXPECT_EQ(utc_text(*back("2026-11-26T19:30")), "2026-11-26T18:30:00.000Z");
    EXPECT_EQ(utc_text(*back("2026-07-26")), "2026-07-25T22:00:00.000Z");
    EXPECT_EQ(utc_text(*back("2026-11-26T19:30Z")), "2026-11-26T19:30:00.000Z") << "it says so";
}

TEST(DisplayZone, TheHourThatIsNotThereIsRefused) {
    const auto gap = back("2026-03-29T02:30");
    ASSERT_FALSE(gap);
    EXPECT_NE(gap.error().message.find("2026-03-29 02:30 does not exist in Europe/Vienna"),
              std::string::npos)
        << gap.error().message;
    EXPECT_TRUE(back("2026-03-29T01:59"));
    EXPECT_TRUE(back("2026-03-29T03:00"));
}

TEST(DisplayZone, TheHourThatIsThereTwiceNamesBoth) {
    const auto twice = back("2026-10-25T02:30");
    ASSERT_FALSE(twice);
    EXPECT_NE(twice.error().message.find("2026-10-25T00:30:00.000Z"), std::string::npos);
    EXPECT_NE(twice.error().message.find("2026-10-25T01:30:00.000Z"), std::string::npos);
}

TEST(DisplayZone, UnknownZones) {
    for (const char* zone : {"", "Nowhere/Hut", "../etc/passwd", "europe vienna"}) {
        const auto known = check_zone(zone);
        ASSERT_FALSE(known) << zone;
        EXPECT_EQ(known.error().code, ErrorCode::not_found);
        EXPECT_FALSE(local_time(zone, UtcTime{}));
    }
    EXPECT_EQ(*check_zone("UTC"), "UTC");
    EXPECT_EQ(*check_zone("Europe/Vienna"), "Europe/Vienna");
}

}  // namespace
}  // namespace skedlark::station
