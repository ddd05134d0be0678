#include "dsp/fist/test_rules.h"

#include <gtest/gtest.h>

#include <vector>

namespace skedlark::fist {
namespace {

// 47 CFR 13.207(c): "each five letters of the alphabet must be counted as one word or one code
// group; each numeral, punctuation mark, and prosign must be counted as two letters".
TEST(TestRules, FiguresAndMarksCountTwice) {
    const auto counted = [](const char* text) {
        return counted_characters(*morse::symbols_from_text(text));
    };
    EXPECT_EQ(counted("PARIS"), 5);
    EXPECT_EQ(counted("QVA7 DE QXB2"), 12);
    EXPECT_EQ(counted("73 [AR]"), 6);
    EXPECT_EQ(counted("12345"), 10);
    EXPECT_EQ(counted("A, B."), 6);
    EXPECT_EQ(counted("\u00c9"), 1);
    EXPECT_EQ(counted(""), 0);
}

// One minute solid is 25, 65, 100 counted characters at 5, 13, 20 words a minute.
TEST(TestRules, SolidMinutes) {
    EXPECT_DOUBLE_EQ(solid_minutes(25, 5.0), 1.0);
    EXPECT_DOUBLE_EQ(solid_minutes(65, 13.0), 1.0);
    EXPECT_DOUBLE_EQ(solid_minutes(100, 20.0), 1.0);
    EXPECT_EQ(solid_minutes(100, 0.0), 0.0);
    const auto text = *morse::symbols_from_text("AB1 CDE");
    EXPECT_EQ(longest_solid(text, std::vector<char>{1, 1, 1, 0, 1, 1}), 4);
    EXPECT_EQ(longest_solid(text, std::vector<char>{1, 1, 1, 1, 1, 1}), 7);
    EXPECT_EQ(longest_solid(text, {}), 0);
}

// 16 groups of five letters in a minute are 16 words a minute, 80 characters.
TEST(TestRules, WordsAndGroupsAMinute) {
    std::string text;
    for (int i = 0; i < 16; ++i) text += "QWERT ";
    const auto symbols = *morse::symbols_from_text(text);
    EXPECT_EQ(counted_characters(symbols), 80);
    EXPECT_EQ(groups_of(symbols), 16);
    EXPECT_DOUBLE_EQ(words_a_minute(80, 60.0), 16.0);
    EXPECT_EQ(words_a_minute(80, 0.0), 0.0);
}

}  // namespace
}  // namespace skedlark::fist
