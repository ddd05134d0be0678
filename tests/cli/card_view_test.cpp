// Lengths of time and wrapped lines, worked out by hand.
#include "cli/card_view.h"

#include <gtest/gtest.h>

#include <sstream>

namespace skedlark::cli {
namespace {

TEST(CardView, LengthsOfTime) {
    EXPECT_EQ(length_text(0.4), "0 s");
    EXPECT_EQ(length_text(59.4), "59 s");
    EXPECT_EQ(length_text(59.6), "1 min");
    EXPECT_EQ(length_text(725.0), "12 min 5 s");
    EXPECT_EQ(length_text(5400.0), "1 h 30 min");
    EXPECT_EQ(length_text(90000.0), "1 d 1 h");
    EXPECT_EQ(length_text(-725.0), "12 min 5 s");
}

TEST(CardView, WordsAreWrappedAt80AndNotTorn) {
    std::string text;
    for (int i = 0; i < 60; ++i) text += "word\x01" + std::to_string(i) + " ";
    std::istringstream lines(wrapped("  label   ", text, 10));
    int count = 0;
    for (std::string line; std::getline(lines, line); ++count) {
        EXPECT_LE(line.size(), 80U);
        EXPECT_EQ(line.find('\x01'), std::string::npos);
        EXPECT_EQ(line.substr(10, 4), "word") << line;
    }
    EXPECT_GT(count, 3);
    EXPECT_EQ(wrapped("a ", "", 2), "a \n");
    const std::string long_word(200, 'x');
    EXPECT_EQ(wrapped("a ", long_word, 2), "a " + long_word + "\n");
}

TEST(CardView, WhatIsKnownOfTheClock) {
    EXPECT_NE(clock_text({}).find("not checked"), std::string::npos);
    EXPECT_EQ(clock_text({-0.25, 0.1, "12 of 12 ticks heard"}),
              "0.25 s slow, within 0.10 s (95 %), 12 of 12 ticks heard");
    EXPECT_NE(clock_text({3.0, {}, "typed in"}).find("3.00 s fast"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::cli
