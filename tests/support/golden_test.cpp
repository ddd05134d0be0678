#include "tests/support/golden.h"

#include <gtest/gtest.h>

namespace skedlark::support {
namespace {

CsvTable table(const std::string& text) { return *CsvTable::parse(text, "t"); }

TEST(Golden, ToleranceIsPerColumn) {
    const CsvTable golden = table("name,pitch_hz,level_db\na,700.0,-3.0\n");
    const CsvTable now = table("name,pitch_hz,level_db\na,700.4,-3.0\n");
    EXPECT_TRUE(golden_differences(golden, now, {{"pitch_hz", 0.5}}).empty());
    const auto told = golden_differences(golden, now, {{"pitch_hz", 0.3}, {"level_db", 9.0}});
    ASSERT_EQ(told.size(), 1U);
    EXPECT_EQ(told[0], "row 1, pitch_hz: 700.4 where golden has 700.0 (tolerance 0.3)");
    EXPECT_EQ(golden_differences(golden, now, {}).size(), 1U);
}

TEST(Golden, NothingMeasuredIsNoNumber) {
    const CsvTable none = table("x\nnan\n");
    EXPECT_TRUE(golden_differences(none, none, {{"x", 1.0}}).empty());
    EXPECT_FALSE(golden_differences(none, table("x\n0\n"), {{"x", 1e9}}).empty());
    EXPECT_FALSE(golden_differences(table("x\n0\n"), none, {{"x", 1e9}}).empty());
}

TEST(Golden, ShapeAndUnknownColumnsAreDifferences) {
    EXPECT_FALSE(golden_differences(table("x\n1\n"), table("y\n1\n"), {}).empty());
    EXPECT_FALSE(golden_differences(table("x\n1\n"), table("x\n1\n2\n"), {}).empty());
    EXPECT_FALSE(golden_differences(table("x\n1\n"), table("x\n1\n"), {{"z", 1.0}}).empty());
}

TEST(Golden, TellsAtMostTen) {
    std::string a = "x\n";
    std::string b = "x\n";
    for (int i = 0; i < 50; ++i) {
        a += "1\n";
        b += "2\n";
    }
    EXPECT_EQ(golden_differences(table(a), table(b), {{"x", 0.5}}).size(), 10U);
}

}  // namespace
}  // namespace skedlark::support
