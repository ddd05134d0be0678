#include "gui/sheet/make_sheet.h"

#include <gtest/gtest.h>

#include "tests/desk/sheet/results.h"

namespace skedlark::gui {
namespace {

TEST(MakeSheet, WhatThePersonAddsStandsAtItsHead) {
    const auto sheet = make_sheet(results_of(kCopyResult),
                                  {.title = "Evening", .made = "today", .notes = {"snow", "cold"}});
    ASSERT_TRUE(sheet);
    const std::string words = words_of(*sheet);
    EXPECT_HAS(words, "Evening\n");
    EXPECT_HAS(words, "Note: snow\nNote: cold\n");
    EXPECT_HAS(words, "Made: today\n");
    EXPECT_FALSE(has(words, "What was copied"));
}

// Rows as long as their heads, series of equal length: what draws them relies on it.
TEST(MakeSheet, SheetsAreWhole) {
    for (const std::string& text : {kFistResult, kCopyResult, kSweepResult, kDrillResult}) {
        const Sheet sheet = sheet_of(text);
        EXPECT_FALSE(sheet.title.empty());
        for (const Table* table : blocks_of<Table>(sheet)) {
            for (const auto& row : table->rows)
                EXPECT_EQ(row.size(), table->columns.size()) << table->caption;
        }
        for (const Plot* plot : blocks_of<Plot>(sheet)) {
            EXPECT_FALSE(plot->said.empty()) << plot->title;
            EXPECT_FALSE(plot->x.title.empty()) << plot->title;
            EXPECT_FALSE(plot->y.title.empty()) << plot->title;
            for (const PlotSeries& series : plot->series)
                EXPECT_EQ(series.x.size(), series.y.size());
        }
    }
}

}  // namespace
}  // namespace skedlark::gui
