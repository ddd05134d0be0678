#include "cli/progress.h"

#include <gtest/gtest.h>

namespace skedlark::cli {
namespace {

using std::chrono::milliseconds;

TEST(Progress, IsQuietForShortWorkAndNeverTooOften) {
    const Progress::Clock::time_point start{};
    Progress progress(start);
    EXPECT_FALSE(progress.line(1.0, 100.0, start + milliseconds(1900)));
    EXPECT_TRUE(progress.line(1.0, 100.0, start + milliseconds(2100)));
    EXPECT_FALSE(progress.line(2.0, 100.0, start + milliseconds(2150)));
    EXPECT_TRUE(progress.line(3.0, 100.0, start + milliseconds(2300)));
}

TEST(Progress, ShowsShareAndTime) {
    const Progress::Clock::time_point late{std::chrono::seconds(10)};
    EXPECT_EQ(Progress({}).line(225.0, 500.0, late), "[#########-----------]  45 %  3:45 of 8:20");
    EXPECT_EQ(Progress({}).line(600.0, 500.0, late), "[####################] 100 %  10:00 of 8:20");
    EXPECT_EQ(Progress({}).line(225.0, std::nullopt, late), "[3:45]");
}

}  // namespace
}  // namespace skedlark::cli
