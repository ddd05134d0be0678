#include "cli/pressed_marks.h"

#include <gtest/gtest.h>

namespace skedlark::cli {
namespace {

std::vector<double> divs_of(double from_div, double to_div) {
    PressedMarks marks(from_div, to_div);
    std::vector<double> divs;
    for (double at_s = 1.0; !marks.done(); at_s += 1.0) {
        EXPECT_TRUE(marks.press(' ', at_s));
        divs.push_back(marks.marks().back().div);
    }
    return divs;
}

TEST(PressedMarks, TheStartEachWholeDivisionAndTheEnd) {
    EXPECT_EQ(divs_of(40.0, 43.0), (std::vector<double>{40, 41, 42, 43}));
    EXPECT_EQ(divs_of(40.5, 42.2), (std::vector<double>{40.5, 41, 42, 42.2}));
    EXPECT_EQ(divs_of(42.2, 40.5), (std::vector<double>{42.2, 42, 41, 40.5}));
    EXPECT_EQ(divs_of(1.0, -1.0), (std::vector<double>{1, 0, -1}));
    EXPECT_EQ(divs_of(40.2, 40.7), (std::vector<double>{40.2, 40.7}));
}

TEST(PressedMarks, BackspaceTakesOneBack) {
    PressedMarks marks(40.0, 42.0);
    EXPECT_FALSE(marks.press('\x7f', 0.5));
    EXPECT_TRUE(marks.press(' ', 1.0));
    EXPECT_TRUE(marks.press(' ', 2.0));
    EXPECT_TRUE(marks.press('\b', 2.5));
    EXPECT_TRUE(marks.press('\n', 31.0));
    ASSERT_EQ(marks.marks().size(), 2U);
    EXPECT_EQ(marks.marks()[1].div, 41.0);
    EXPECT_EQ(marks.marks()[1].at_s, 31.0);
    EXPECT_EQ(marks.prompt(), "press space at 42   last 41 at 0:31, 2.0 divisions a minute");
}

TEST(PressedMarks, OtherKeysAndKeysTooManyAreNoMarks) {
    PressedMarks marks(40.0, 41.0);
    EXPECT_EQ(marks.prompt(), "press space at 40");
    EXPECT_FALSE(marks.press('x', 1.0));
    EXPECT_TRUE(marks.press(' ', 1.0));
    EXPECT_FALSE(marks.press(' ', 1.0));  // the same moment
    EXPECT_TRUE(marks.press(' ', 2.0));
    EXPECT_TRUE(marks.done());
    EXPECT_FALSE(marks.press(' ', 3.0));
}

}  // namespace
}  // namespace skedlark::cli
