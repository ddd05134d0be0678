#include "gui/sweep/dial_picture.h"

#include <gtest/gtest.h>

namespace skedlark::gui {
namespace {

SweepRow row(double at_s, float level) { return {at_s, std::vector<float>(3, level)}; }

std::vector<SweepRow> rows(double seconds, float level) {
    std::vector<SweepRow> made;
    for (double at_s = 0.0; at_s < seconds; at_s += SweepUser::kHopS)
        made.push_back(row(at_s, level));
    return made;
}

TEST(DialPicture, ARowStandsWhereTheDialWas) {
    DialPicture picture;
    picture.begin_pass(SweepAxis(42.0, 44.0), 0.0);
    const auto motion = *dial::Motion::paced(42.0, 44.0, 100.0, 0.1);
    picture.add({row(25.0, 12.0F)});
    picture.place(motion, false);
    const int at = picture.column_of(42.5);
    EXPECT_EQ(picture.take_changed(), std::vector<int>{at});
    ASSERT_EQ(picture.column(at).size(), 3U);
    EXPECT_FLOAT_EQ(picture.column(at)[0], 12.0F);
    EXPECT_TRUE(picture.column(at + 1).empty());
    EXPECT_TRUE(picture.take_changed().empty());
}

TEST(DialPicture, AWholeSweepLeavesNoGaps) {
    for (const bool down : {false, true}) {
        DialPicture picture;
        picture.begin_pass(SweepAxis(42.0, 44.0), 0.0);
        picture.add(rows(20.0, 3.0F));  // quicker than the columns
        picture.place(*dial::Motion::paced(down ? 44.0 : 42.0, down ? 42.0 : 44.0, 20.0, 0.1),
                      true);
        int empty = 0;
        for (int i = 3; i < DialPicture::kColumns - 3; ++i)
            empty += picture.column(i).empty() ? 1 : 0;
        EXPECT_EQ(empty, 0) << down;
    }
}

TEST(DialPicture, RowsWaitForTheMarkAfterThem) {
    DialPicture picture;
    picture.begin_pass(SweepAxis(42.0, 44.0), 0.0);
    picture.add(rows(30.0, 3.0F));
    picture.place(*dial::Motion::marked({{0.0, 42.0}, {10.0, 43.0}}, 0.1), false);
    EXPECT_FALSE(picture.column(picture.column_of(42.9)).empty());
    EXPECT_TRUE(picture.column(picture.column_of(43.5)).empty());
    picture.place(*dial::Motion::marked({{0.0, 42.0}, {10.0, 43.0}, {30.0, 44.0}}, 0.1), false);
    EXPECT_FALSE(picture.column(picture.column_of(43.5)).empty());
}

TEST(DialPicture, ANewPassIsDrawnOverTheOldOneAndAnotherAxisEmptiesIt) {
    DialPicture picture;
    const auto motion = *dial::Motion::paced(42.0, 44.0, 100.0, 0.1);
    picture.begin_pass(SweepAxis(42.0, 44.0), 0.0);
    picture.add({row(25.0, 12.0F), row(75.0, 12.0F)});
    picture.place(motion, true);
    picture.begin_pass(SweepAxis(42.0, 44.0), 0.0);
    picture.add({row(25.0, 2.0F)});
    picture.place(motion, true);
    EXPECT_FLOAT_EQ(picture.column(picture.column_of(42.5))[0], 2.0F);
    EXPECT_FLOAT_EQ(picture.column(picture.column_of(43.5))[0], 12.0F);
    picture.begin_pass(SweepAxis(42.0, 45.0), 0.0);
    EXPECT_TRUE(picture.emptied());
    EXPECT_TRUE(picture.column(picture.column_of(43.5)).empty());
}

TEST(DialPicture, ARestIsSpreadOverItsStep) {
    DialPicture picture;
    picture.begin_pass(SweepAxis(42.0, 44.0), 0.5);
    const auto motion = *dial::Motion::stepped({42.0, 44.0, 0.5, 20.0, 2.0}, 0.1);
    picture.add(rows(42.0, 5.0F));
    picture.place(motion, false);
    EXPECT_FALSE(picture.column(picture.column_of(42.3)).empty());  // second rest, at 42.5
    EXPECT_FALSE(picture.column(picture.column_of(42.7)).empty());
    EXPECT_TRUE(picture.column(picture.column_of(42.8)).empty());
}

}  // namespace
}  // namespace skedlark::gui
