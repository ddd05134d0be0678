#include "dsp/dial/pressed_marks.h"

#include <gtest/gtest.h>

#include <cmath>

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

TEST(PressedMarks, OneIsTakenBack) {
    PressedMarks marks(40.0, 42.0);
    EXPECT_FALSE(marks.take_back());
    EXPECT_TRUE(marks.mark(1.0));
    EXPECT_FALSE(marks.div_per_min());
    EXPECT_TRUE(marks.mark(2.0));
    EXPECT_TRUE(marks.take_back());
    EXPECT_EQ(marks.next_div(), 41.0);
    EXPECT_TRUE(marks.mark(31.0));
    ASSERT_EQ(marks.marks().size(), 2U);
    EXPECT_EQ(marks.marks()[1].div, 41.0);
    EXPECT_EQ(marks.marks()[1].at_s, 31.0);
    EXPECT_DOUBLE_EQ(*marks.div_per_min(), 2.0);
}

TEST(PressedMarks, TheSameMomentAndMarksTooManyAreNone) {
    PressedMarks marks(40.0, 41.0);
    EXPECT_TRUE(marks.mark(1.0));
    EXPECT_FALSE(marks.mark(1.0));
    EXPECT_TRUE(marks.mark(2.0));
    EXPECT_TRUE(marks.done());
    EXPECT_FALSE(marks.next_div());
    EXPECT_FALSE(marks.mark(3.0));
}

TEST(PressedMarks, PacesAreThoseNamedOrThoseOfAHand) {
    const auto dial = Dial::create(test::mountain_set(), "2");
    ASSERT_TRUE(dial.ok());
    const auto named = pressed_paces(*dial, 52.0, 50.0, 6.0);
    EXPECT_EQ(named.low_div, 50.0);
    EXPECT_EQ(named.high_div, 52.0);
    EXPECT_LT(named.slowest_div_per_s, 0.1);
    EXPECT_GT(named.fastest_div_per_s, 0.1);
    const auto free = pressed_paces(*dial, 50.0, 52.0, std::nullopt);
    const double hz_per_div = 1000.0 * std::abs(dial->khz_per_div(51.0));
    EXPECT_NEAR(free.slowest_div_per_s * hz_per_div, kSlowestHandHzPerS, 1e-9);
    EXPECT_NEAR(free.fastest_div_per_s * hz_per_div, kFastestHandHzPerS, 1e-9);
}

}  // namespace
}  // namespace skedlark::dial
