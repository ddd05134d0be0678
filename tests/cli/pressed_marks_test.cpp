#include "cli/pressed_marks.h"

#include <gtest/gtest.h>

namespace skedlark::cli {
namespace {

TEST(PressedMarks, BackspaceTakesOneBack) {
    dial::PressedMarks marks(40.0, 42.0);
    EXPECT_FALSE(press(marks, '\x7f', 0.5));
    EXPECT_TRUE(press(marks, ' ', 1.0));
    EXPECT_TRUE(press(marks, ' ', 2.0));
    EXPECT_TRUE(press(marks, '\b', 2.5));
    EXPECT_TRUE(press(marks, '\n', 31.0));
    ASSERT_EQ(marks.marks().size(), 2U);
    EXPECT_EQ(prompt_for(marks), "press space at 42   last 41 at 0:31, 2.0 divisions a minute");
}

TEST(PressedMarks, OtherKeysAreNoMarks) {
    dial::PressedMarks marks(40.0, 41.0);
    EXPECT_EQ(prompt_for(marks), "press space at 40");
    EXPECT_FALSE(press(marks, 'x', 1.0));
    EXPECT_TRUE(press(marks, ' ', 1.0));
    EXPECT_TRUE(press(marks, '\r', 2.0));
    EXPECT_EQ(prompt_for(marks), "division 41 was the last");
}

}  // namespace
}  // namespace skedlark::cli
