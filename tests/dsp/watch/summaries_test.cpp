// Worked out by hand.
#include "dsp/watch/summaries.h"

#include <gtest/gtest.h>

namespace skedlark::watch {
namespace {

ToneSummary tone(int number, std::string text, double confidence, int marks = 10) {
    ToneSummary summary;
    summary.tone = number;
    summary.text = std::move(text);
    summary.mean_confidence = confidence;
    summary.speed_wpm = 16.0 + number;
    summary.timing.marks = marks;
    return summary;
}

TEST(Summaries, EmptyAtFirst) { EXPECT_TRUE(Summaries().in_order().empty()); }

TEST(Summaries, MostAndSurestTextFirst) {
    Summaries summaries;
    summaries.add(tone(1, "", 0.0));
    summaries.add(tone(2, "QVA7", 0.9));
    summaries.add(tone(3, "QXB2 DE QVA7", 0.9));
    const auto order = summaries.in_order();
    ASSERT_EQ(order.size(), 3U);
    EXPECT_EQ(order[0].tone, 3);
    EXPECT_EQ(order[1].tone, 2);
    EXPECT_EQ(order[2].tone, 1);
}

TEST(Summaries, JoinsTheTextOfOneTone) {
    Summaries summaries;
    summaries.add(tone(1, "ABC", 1.0, 20));
    ToneSummary later = tone(1, "D", 0.6, 2);
    later.pitch_hz = 712.0;
    later.speed_wpm = 30.0;
    summaries.add(later);
    const auto order = summaries.in_order();
    ASSERT_EQ(order.size(), 1U);
    EXPECT_EQ(order[0].text, "ABC D");
    EXPECT_EQ(order[0].pitch_hz, 712.0);
    EXPECT_DOUBLE_EQ(order[0].mean_confidence, (3 * 1.0 + 1 * 0.6) / 4);
    EXPECT_EQ(order[0].timing.marks, 20);
    EXPECT_EQ(order[0].speed_wpm, 17.0);
}

TEST(Summaries, AnEmptyPartChangesNothing) {
    Summaries summaries;
    summaries.add(tone(1, "ABC", 0.9));
    summaries.add(tone(1, "", 0.0));
    EXPECT_EQ(summaries.in_order()[0].text, "ABC");
    EXPECT_EQ(summaries.in_order()[0].mean_confidence, 0.9);
}

}  // namespace
}  // namespace skedlark::watch
