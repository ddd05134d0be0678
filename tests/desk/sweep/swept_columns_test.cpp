#include "gui/sweep/swept_columns.h"

#include <gtest/gtest.h>

namespace skedlark::gui {
namespace {

std::vector<int> columns_of(const std::vector<SweptColumn>& changed) {
    std::vector<int> columns;
    for (const SweptColumn& one : changed) columns.push_back(one.column);
    return columns;
}

TEST(SweptColumns, RowsStandWhereTheDialWas) {
    const auto motion = dial::Motion::paced(44.0, 42.0, 8.0, 0.1);
    SweptColumns columns(DivAxis(42.0, 44.0), 0.0);
    columns.add(4.0, std::vector<float>(SweptColumns::kPoints, 3.0F));
    columns.place(*motion, 4.0);
    const auto changed = columns.take_changed();
    ASSERT_EQ(changed.size(), 1U);
    EXPECT_EQ(changed[0].column, SweptColumns::kColumns / 2);
    EXPECT_EQ(changed[0].over_noise_db.front(), 3.0F);
    EXPECT_TRUE(columns.take_changed().empty());
}

TEST(SweptColumns, AFastDialLeavesNoGapsAndASlowOneIsAveraged) {
    const auto motion = dial::Motion::paced(0.0, 8.0, 8.0, 0.1);
    SweptColumns columns(DivAxis(0.0, 8.0), 0.0);  // 100 columns a second
    for (const double at_s : {1.0, 1.05, 1.055})
        columns.add(at_s, std::vector<float>(SweptColumns::kPoints, at_s < 1.052 ? 2.0F : 4.0F));
    columns.place(*motion, 2.0);
    const auto changed = columns.take_changed();
    EXPECT_EQ(columns_of(changed), (std::vector<int>{100, 101, 102, 103, 104, 105}));
    EXPECT_EQ(changed.back().over_noise_db[0], 3.0F);
}

TEST(SweptColumns, RowsWaitForTheMarks) {
    SweptColumns columns(DivAxis(42.0, 44.0), 0.0);
    const std::vector<float> row(SweptColumns::kPoints, 1.0F);
    for (const double at_s : {0.5, 2.0, 6.0}) columns.add(at_s, row);
    const auto motion = dial::Motion::marked({{1.0, 42.0}, {5.0, 43.0}}, 0.1);
    columns.place(*motion, 5.0);
    EXPECT_EQ(columns_of(columns.take_changed()),
              (std::vector<int>{100}));  // 0.5 s: before the start
    EXPECT_EQ(columns.waiting(), 1U);
}

TEST(SweptColumns, ARestStandsForItsStep) {
    const auto motion = dial::Motion::stepped({42.0, 44.0, 0.1, 10.0, 2.0}, 0.1);
    SweptColumns columns(DivAxis(42.0, 44.0), 0.05);
    columns.add(13.0, std::vector<float>(SweptColumns::kPoints, 1.0F));  // rests at 42.1
    columns.place(*motion, 20.0);
    const auto changed = columns_of(columns.take_changed());
    EXPECT_NEAR(changed.front(), 20, 1);
    EXPECT_NEAR(changed.back(), 60, 1);
}

}  // namespace
}  // namespace skedlark::gui
