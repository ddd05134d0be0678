#include "dsp/dial/pressed_marks.h"

#include <gtest/gtest.h>

#include "tests/dsp/dial/mountain_set.h"

namespace skedlark::dial {
namespace {

std::vector<double> divs_of(double from_div, double to_div) {
    PressedMarks marks(from_div, to_div);
    std::vector<double> divs;
    for (double at_s = 1.0; !marks.done(); at_s += 1.0) {
        EXPECT_TRUE(marks.mark(at_s));
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

TEST(PressedMarks, OneIsTakenBackAndMarkedAgain) {
    PressedMarks marks(40.0, 42.0);
    EXPECT_FALSE(marks.take_back());
    EXPECT_TRUE(marks.mark(1.0));
    EXPECT_FALSE(marks.pace_div_per_min());
    EXPECT_TRUE(marks.mark(2.0));
    EXPECT_TRUE(marks.take_back());
    EXPECT_EQ(marks.next(), 41.0);
    EXPECT_TRUE(marks.mark(31.0));
    ASSERT_EQ(marks.marks().size(), 2U);
    EXPECT_EQ(marks.marks()[1].div, 41.0);
    EXPECT_EQ(marks.pace_div_per_min(), 2.0);
    EXPECT_EQ(marks.next(), 42.0);
}

TEST(PressedMarks, TheSameMomentAndOneTooManyAreNoMarks) {
    PressedMarks marks(40.0, 41.0);
    EXPECT_TRUE(marks.mark(1.0));
    EXPECT_FALSE(marks.mark(1.0));
    EXPECT_TRUE(marks.mark(2.0));
    EXPECT_TRUE(marks.done());
    EXPECT_FALSE(marks.next());
    EXPECT_FALSE(marks.mark(3.0));
}

TEST(PressedMarks, AHandIsExpectedAboutThePaceItAimsAt) {
    const Dial dial = *Dial::create(test::mountain_set(), "2");
    const auto aimed = pressed_paces(dial, 44.0, 40.0, 3.0);
    EXPECT_EQ(aimed.low_div, 40.0);
    EXPECT_EQ(aimed.high_div, 44.0);
    EXPECT_LT(aimed.slowest_div_per_s, 3.0 / 60.0);
    EXPECT_GT(aimed.fastest_div_per_s, 3.0 / 60.0);
    const auto any = pressed_paces(dial, 40.0, 44.0, std::nullopt);
    EXPECT_NEAR(any.fastest_div_per_s * 1000.0 * std::abs(dial.khz_per_div(42.0)), 5000.0, 1e-6);
}

}  // namespace
}  // namespace skedlark::dial
