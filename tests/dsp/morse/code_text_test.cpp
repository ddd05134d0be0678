#include "dsp/morse/code_text.h"

#include <gtest/gtest.h>

namespace skedlark::morse {
namespace {

std::string refusal(std::string_view bytes) {
    const auto text = code_text(bytes, "hut.txt");
    return text ? "accepted" : text.error().message;
}

TEST(CodeText, WhatIsInTheCodeIsLeftAsItIs) {
    EXPECT_EQ(*code_text("qva7 de QXB2 [AR]\r\nK\n", "a"), "qva7 de QXB2 [AR]\r\nK\n");
    EXPECT_EQ(*code_text("\xEF\xBB\xBFK", "a"), "K");
    const auto symbols = meant_text("A [AR]\nB", "a");
    ASSERT_TRUE(symbols);
    ASSERT_EQ(symbols->size(), 5U);
    EXPECT_EQ((*symbols)[2]->text, "AR");
}

TEST(CodeText, ASlipIsNamedByCharacterAndPlace) {
    const std::string named = refusal("AB\nC # D");
    EXPECT_NE(named.find("\"#\" at line 2, character 3"), std::string::npos) << named;
    const std::string signal = refusal("A [XX] B");
    EXPECT_NE(signal.find("\"[XX]\" at line 1, character 3"), std::string::npos) << signal;
    EXPECT_NE(refusal("A _").find("\"_\""), std::string::npos);
    EXPECT_TRUE(code_text("A _", "a", true));
}

// RFC 3629: 0xE9 begins three bytes, the letter of ISO 8859-1 stands alone.
TEST(CodeText, AnotherEncodingIsTold) {
    EXPECT_NE(refusal("SA\xE9 X").find("byte 0xE9 at line 1, character 3 is not UTF-8"),
              std::string::npos);
    EXPECT_NE(refusal(std::string_view("\xFF\xFEH\0", 4)).find("UTF-16"), std::string::npos);
    EXPECT_EQ(code_text("SA\xE9 X", "a").error().code, ErrorCode::damaged);
}

TEST(CodeText, NoTextAndTooMuch) {
    EXPECT_NE(refusal(" \r\n\t").find("is empty"), std::string::npos);
    const auto most = meant_text(std::string(kLongestMeantText, 'E'), "a");
    EXPECT_TRUE(most);
    const auto more = meant_text(std::string(kLongestMeantText + 1, 'E'), "a");
    ASSERT_FALSE(more);
    EXPECT_NE(more.error().message.find("20000"), std::string::npos);
}

TEST(CodeText, ScoringNameIsThatOfScoringSymbols) {
    for (const Symbol& symbol : symbols()) {
        const std::string written =
            symbol.procedure ? "[" + std::string(symbol.text) + "]" : std::string(symbol.text);
        const auto scoring = scoring_symbols(written);
        ASSERT_TRUE(scoring) << written;
        EXPECT_EQ(scoring_name(symbol), scoring->front()) << written;
    }
}

}  // namespace
}  // namespace skedlark::morse
