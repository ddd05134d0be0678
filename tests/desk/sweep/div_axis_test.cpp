#include "gui/sweep/div_axis.h"

#include <gtest/gtest.h>

namespace skedlark::gui {
namespace {

TEST(DivAxis, TheLowerDivisionIsLeftWhicheverWayTheDialIsTurned) {
    for (const DivAxis axis : {DivAxis(42.0, 44.0), DivAxis(44.0, 42.0)}) {
        EXPECT_DOUBLE_EQ(axis.x_of(42.0, 800.0), 0.0);
        EXPECT_DOUBLE_EQ(axis.x_of(42.5, 800.0), 200.0);
        EXPECT_DOUBLE_EQ(axis.x_of(44.0, 800.0), 800.0);
        EXPECT_DOUBLE_EQ(axis.div_at(200.0, 800.0), 42.5);
    }
    EXPECT_DOUBLE_EQ(DivAxis(5.0, 5.0).x_of(6.0, 10.0), 10.0);
}

TEST(DivAxis, EveryDivisionHasAColumnAndEveryPixelOne) {
    const DivAxis axis(42.0, 44.0);
    EXPECT_EQ(axis.column_of(41.0, 100), 0);
    EXPECT_EQ(axis.column_of(42.0, 100), 0);
    EXPECT_EQ(axis.column_of(43.0, 100), 50);
    EXPECT_EQ(axis.column_of(44.0, 100), 99);
    for (const int width : {37, 100, 1013}) {
        int reached = 0;
        for (int column = 0; column < 100; ++column) {
            const auto [first, last] = DivAxis::pixels_of(column, 100, width);
            EXPECT_LE(first, reached);  // no gap
            EXPECT_GT(last, first);
            reached = last;
        }
        EXPECT_EQ(reached, width);
    }
}

TEST(DivAxis, LettersStandApart) {
    const DivAxis axis(42.0, 44.0);
    EXPECT_EQ(axis.lettered(800.0, 60.0).size(), 11U);  // every 0.2
    EXPECT_EQ(axis.letters(42.2, 800.0, 60.0), "42.2");
    EXPECT_EQ(axis.lettered(150.0, 60.0), (std::vector<double>{42, 43, 44}));
    EXPECT_EQ(axis.letters(43.0, 150.0, 60.0), "43");
    for (const double width : {200.0, 900.0, 2000.0}) {
        const auto divs = DivAxis(0.0, 100.0).lettered(width, 70.0);
        for (std::size_t n = 1; n < divs.size(); ++n)
            EXPECT_GE((divs[n] - divs[n - 1]) * width / 100.0, 70.0 - 1e-6);
    }
}

TEST(DivAxis, InkRisesWithTheLevelAndPitchWithTheHeight) {
    EXPECT_EQ(ink_of_level(0.0), 0.0);
    EXPECT_GT(ink_of_level(10.0), ink_of_level(5.0));
    EXPECT_EQ(ink_of_level(60.0), 1.0);
    EXPECT_DOUBLE_EQ(y_of_pitch(3000.0, 200.0, 3000.0, 140.0), 0.0);
    EXPECT_DOUBLE_EQ(y_of_pitch(200.0, 200.0, 3000.0, 140.0), 140.0);
}

}  // namespace
}  // namespace skedlark::gui
