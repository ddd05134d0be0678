// Places on the page, against arithmetic done by hand: 15 s a line, 8000 frames a second.
#include "gui/copy/page_layout.h"

#include <gtest/gtest.h>

#include "tests/desk/copy/copied.h"

namespace skedlark::gui {
namespace {

TEST(PageLayout, ALineHoldsFifteenSeconds) {
    EXPECT_EQ(line_of(0), 0);
    EXPECT_EQ(line_of(119'999), 0);
    EXPECT_EQ(line_of(120'000), 1);
    EXPECT_EQ(line_of(-1), -1);
    EXPECT_EQ(line_start(4), 480'000);
    const PagePlace place = place_of(frames_from_seconds(22.5));
    EXPECT_EQ(place.line, 1);
    EXPECT_DOUBLE_EQ(place.x, 0.5);
    for (const FrameIndex frame : {0, 1, 119'999, 120'000, 7'654'321}) {
        EXPECT_EQ(frame_at(place_of(frame)), frame);
    }
}

TEST(PageLayout, CharactersStandUnderTheirMarks) {
    const auto all = copied("AB CDEFGHIJKLMNOPQRSTUVWXYZ012345");  // from 1 s, one every 0.5 s
    const auto first = on_line(all, 0);
    // 28 begin before 15 s; one of them is a gap.
    ASSERT_EQ(first.size(), 27U);
    EXPECT_NEAR(first[0].x_from, 1.0 / 15.0, 1e-9);
    EXPECT_NEAR(first[0].x_middle, 1.15 / 15.0, 1e-9);
    EXPECT_EQ(first[2].index, 3U);  // C, behind the gap
    const auto second = on_line(all, 1);
    ASSERT_EQ(second.size(), 5U);
    EXPECT_NEAR(second[0].x_from, 0.0, 1e-9);
    EXPECT_TRUE(on_line(all, 2).empty());
}

TEST(PageLayout, OneOverTheEndOfALineStandsWhereItBegins) {
    std::vector<Copied> all = copied("A");
    all[0].read.from_frame = 119'000;
    all[0].read.to_frame = 125'000;
    ASSERT_EQ(on_line(all, 0).size(), 1U);
    EXPECT_EQ(on_line(all, 0)[0].x_to, 1.0);
    EXPECT_TRUE(on_line(all, 1).empty());
}

TEST(PageLayout, PointingFindsTheMarksOrTheNearestBesideThem) {
    const auto all = copied("AB");  // A 1.0 to 1.3 s, B 1.5 to 1.8 s
    const auto at = [&](double seconds) { return character_at(all, {0, seconds / 15.0}); };
    EXPECT_EQ(at(1.2), std::optional<std::size_t>(0));
    EXPECT_EQ(at(1.42), std::optional<std::size_t>(1));  // 0.08 s from B, 0.12 s from A
    EXPECT_EQ(at(1.9), std::optional<std::size_t>(1));
    EXPECT_FALSE(at(2.0).has_value());  // 0.2 s off: more than a hundredth of the line
    EXPECT_FALSE(character_at(all, {1, 0.1}).has_value());
}

TEST(PageLayout, StepsPassOverGapsAndStopAtTheEnds) {
    const auto all = copied("A B");
    EXPECT_EQ(step_from(all, {}, -1), std::optional<std::size_t>(2));
    EXPECT_EQ(step_from(all, 2, -1), std::optional<std::size_t>(0));
    EXPECT_FALSE(step_from(all, 0, -1).has_value());
    EXPECT_FALSE(step_from({}, {}, 1).has_value());
}

TEST(PageLayout, TheLessSureThePalerButNeverTooPaleToRead) {
    EXPECT_DOUBLE_EQ(strength_of(1.0, 0.55), 1.0);
    EXPECT_DOUBLE_EQ(strength_of(0.0, 0.55), 0.55);
    EXPECT_DOUBLE_EQ(strength_of(0.7, 0.55), 0.775);
    double last = 0.0;
    for (double confidence = 0.0; confidence <= 1.0; confidence += 0.05) {
        EXPECT_GE(strength_of(confidence, 0.55), last);
        last = strength_of(confidence, 0.55);
    }
}

}  // namespace
}  // namespace skedlark::gui
