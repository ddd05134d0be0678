#include "gui/sheet/phrases.h"

#include <gtest/gtest.h>

#include <cmath>

namespace skedlark::gui {
namespace {

TEST(Phrases, NumbersAndTimes) {
    EXPECT_EQ(shown(14.96, 1, "dB"), "15.0 dB");
    EXPECT_EQ(shown(-0.001, 1), "0.0");
    EXPECT_EQ(shown(-0.06, 1), "-0.1");
    EXPECT_EQ(shown(std::nan(""), 1, "dB"), kNothing);
    EXPECT_EQ(percent(0.875, 1), "87.5 %");
    EXPECT_EQ(clock_of(65.9), "1:05");
    EXPECT_EQ(clock_of(3723.0), "1:02:03");
    EXPECT_EQ(clock_of(-1.0), "0:00");
    EXPECT_EQ(clock_of(std::nan("")), kNothing);
    EXPECT_EQ(one_in(0.004), "1 in 250");
    EXPECT_EQ(one_in(0.5), "1 in 2.0");
    EXPECT_EQ(one_in(0.0), "under 1 in 1 000 000");
    EXPECT_EQ(counted(1, "group", "groups"), "1 group");
    EXPECT_EQ(counted(0, "group", "groups"), "0 groups");
    EXPECT_EQ(file_name("/a/b.wav"), "b.wav");
    EXPECT_EQ(file_name("b.wav"), "b.wav");
}

}  // namespace
}  // namespace skedlark::gui
