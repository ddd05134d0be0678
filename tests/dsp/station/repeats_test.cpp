// Requests as the Radio Regulations (Atlantic City 1947, appendix 9) abbreviate them.
#include "dsp/station/repeats.h"

#include <gtest/gtest.h>

#include <random>

#include "tests/support/seed.h"

namespace skedlark::station {
namespace {

const std::vector<std::string> kGroups = {"KLMNO", "PQRST", "12345", "UVWXY", "PQRST",
                                          "ABCDE", "FGHIJ", "98765", "ZABCD"};

std::string asked(const std::string& request) {
    const auto numbers = groups_asked_for(kGroups, request);
    if (!numbers) return numbers.error().message;
    std::string text;
    for (const std::size_t number : *numbers) text += std::to_string(number) + " ";
    return text;
}

TEST(Repeats, ByNumber) {
    EXPECT_EQ(asked("4"), "4 ");
    EXPECT_EQ(asked("RPT GR 4 ?"), "4 ");
    EXPECT_EQ(asked("gr 4 7-9"), "4 7 8 9 ");
    EXPECT_EQ(asked("GR 7 TO 9 AND 4 K"), "4 7 8 9 ");
    EXPECT_EQ(asked("4, 4, 4-5"), "4 5 ");
    EXPECT_EQ(asked("ALL"), "1 2 3 4 5 6 7 8 9 ");
}

TEST(Repeats, ByTheTextOfAGroup) {
    EXPECT_EQ(asked("AA FGHIJ"), "8 9 ");
    EXPECT_EQ(asked("AB UVWXY"), "1 2 3 ");
    EXPECT_EQ(asked("BN UVWXY ABCDE"), "5 ");
    EXPECT_EQ(asked("BN UVWXY AND FGHIJ ?"), "5 6 ");
    EXPECT_EQ(asked("WA 12345"), "4 ");
    EXPECT_EQ(asked("WB 12345"), "2 ");
    EXPECT_EQ(asked("AA GR 7"), "8 9 ");
    EXPECT_EQ(asked("UVWXY"), "4 ");
    EXPECT_EQ(asked("AA U_W_Y AB GR 2"), "1 5 6 7 8 9 ") << "characters that were not read";
}

TEST(Repeats, NumbersOrFiguresByGr) {
    const std::vector<std::string> words = {"SEND", "4", "MEN", "AND", "TEA"};
    EXPECT_EQ(groups_asked_for(words, "4")->front(), 2U) << "the word 4";
    EXPECT_EQ(groups_asked_for(words, "GR 4")->front(), 4U) << "group number 4";
}

TEST(Repeats, WhatCannotBeIsSaid) {
    EXPECT_NE(asked("").find("asks for no group"), std::string::npos);
    EXPECT_NE(asked("RPT ?").find("asks for no group"), std::string::npos);
    EXPECT_NE(asked("AA").find("asks for no group"), std::string::npos);
    EXPECT_NE(asked("GR").find("asks for no group"), std::string::npos);
    EXPECT_NE(asked("7 TO").find("asks for no group"), std::string::npos);
    EXPECT_NE(asked("GR 10").find("there are groups 1 to 9"), std::string::npos);
    EXPECT_NE(asked("0").find("there are groups 1 to 9"), std::string::npos);
    EXPECT_NE(asked("99999999999999999999999").find("no group of this message"), std::string::npos);
    EXPECT_NE(asked("9-7").find("runs backwards"), std::string::npos);
    EXPECT_NE(asked("AA PQRST").find("2 times, as groups 2, 5"), std::string::npos);
    EXPECT_NE(asked("AA ZABCD").find("leaves no group"), std::string::npos);
    EXPECT_NE(asked("AB KLMNO").find("leaves no group"), std::string::npos);
    EXPECT_NE(asked("WB KLMNO").find("leaves no group"), std::string::npos);
    EXPECT_NE(asked("BN FGHIJ UVWXY").find("leaves no group"), std::string::npos);
    EXPECT_NE(asked("QQQQQ").find("'QQQQQ' is no group"), std::string::npos);
}

TEST(Repeats, TheAnswerNamesAndSendsThem) {
    const auto sheet = make_message_sheet(
        {"KLMNO PQRST UVWXY ABCDE FGHIJ", Grouping::fives, "QVA7", "QXB2", 1, UtcTime{}},
        *hand_at_speed(12.0));
    ASSERT_TRUE(sheet);
    const auto answer = answer_request(*sheet, "GR 1 3-5");
    ASSERT_TRUE(answer) << answer.error().message;
    EXPECT_EQ(answer->sent, "QXB2 DE QVA7 GR 1 KLMNO GR 3 TO 5 UVWXY ABCDE FGHIJ [AR] K");
    EXPECT_NEAR(answer->air_s, *air_time_s(answer->sent, sheet->hand), 1e-12);
    EXPECT_FALSE(answer_request(*sheet, "nothing"));
}

TEST(Repeats, AnyWordsAreReadOrRefused) {
    std::mt19937_64 random(support::test_seed(6));
    const std::vector<std::string> parts = {"AA", "AB",    "BN", "WA",  "WB",  "GR",
                                            "TO", "-",     "4",  "999", "_",   "?",
                                            "",   "PQRST", " ",  "\n",  "\xFF"};
    for (int i = 0; i < 5000; ++i) {
        std::string request;
        for (std::uint64_t n = random() % 8; n > 0; --n) {
            request += parts[random() % parts.size()] + " ";
        }
        const auto numbers = groups_asked_for(kGroups, request);
        if (!numbers) {
            EXPECT_FALSE(numbers.error().message.empty());
            continue;
        }
        ASSERT_FALSE(numbers->empty());
        EXPECT_LE(numbers->back(), kGroups.size());
    }
}

}  // namespace
}  // namespace skedlark::station
