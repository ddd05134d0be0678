// Procedure by the sources the header names, air time by units worked out from the code table.
#include "dsp/station/message_sheet.h"

#include <gtest/gtest.h>

namespace skedlark::station {
namespace {

MessageDraft draft(const std::string& text, Grouping grouping) {
    return {text, grouping, "QVA7", "QXB2", 3, *parse_utc("2026-11-26T18:30:40Z")};
}

TEST(MessageSheet, GroupsOfFive) {
    const auto groups = split_into_groups("Flour 20 kg\tgone\n", Grouping::fives);
    ASSERT_TRUE(groups);
    EXPECT_EQ(*groups, (std::vector<std::string>{"FLOUR", "20KGG", "ONEXX"}));
    EXPECT_EQ(split_into_groups("abcde", Grouping::fives)->size(), 1U);
}

TEST(MessageSheet, WordsCountOneEach) {
    const auto groups = split_into_groups(" all  well, 4 men ", Grouping::words);
    ASSERT_TRUE(groups);
    EXPECT_EQ(*groups, (std::vector<std::string>{"ALL", "WELL,", "4", "MEN"}));
}

TEST(MessageSheet, CountPreambleAndProcedure) {
    const auto sheet = make_message_sheet(draft("all well", Grouping::words), *hand_at_speed(12.0));
    ASSERT_TRUE(sheet) << sheet.error().message;
    EXPECT_EQ(sheet->call_up, "QXB2 QXB2 DE QVA7 QVA7 K");
    EXPECT_EQ(sheet->preamble, "NR 3 GR 2 261830Z");
    ASSERT_EQ(sheet->parts.size(), 1U);
    EXPECT_EQ(sheet->parts[0].sent, "[KA] NR 3 GR 2 261830Z [BT] ALL WELL [AR] K");
    EXPECT_EQ(sheet->expect, "QVA7 DE QXB2 R NR 3");
    EXPECT_EQ(sheet->receipt, "QXB2 DE QVA7 R NR");
    EXPECT_EQ(sheet->sign_off, "QXB2 DE QVA7 [SK]");
}

// Washington 1927: parts of 20 groups of code or 50 words of plain text, each confirmed with K.
TEST(MessageSheet, LongTextsGoInParts) {
    const auto code =
        make_message_sheet(draft(std::string(45 * 5, 'E'), Grouping::fives), *hand_at_speed(12.0));
    ASSERT_TRUE(code);
    ASSERT_EQ(code->parts.size(), 3U);
    EXPECT_EQ(code->parts[1].first_group, 21U);
    EXPECT_EQ(code->parts[1].last_group, 40U);
    EXPECT_EQ(code->parts[2].last_group, 45U);
    EXPECT_EQ(code->parts[1].sent.find("[KA]"), std::string::npos);
    EXPECT_EQ(code->parts[1].sent.find("[AR]"), std::string::npos);
    EXPECT_TRUE(code->parts[2].sent.ends_with("[AR] K"));
    std::string words;
    for (int i = 0; i < 51; ++i) words += "E ";
    EXPECT_EQ(make_message_sheet(draft(words, Grouping::words), *hand_at_speed(12.0))->parts.size(),
              2U);
}

// Ten groups EEEEE are 240 units; [KA] 15 + 7, NR 3 GR 10 261830Z [BT], [AR] and K from the table:
// N 5 R 7 -> 15 + 7; 3 11 + 7; G 9 R 7 -> 19 + 7; 1 17 0 19 -> 39 + 7;
// 2 15, 6 11, 1 17, 8 15, 3 13, 0 19, Z 11 -> see below.
TEST(MessageSheet, AirTimeIsThatOfEverythingKeyed) {
    const auto hand = *hand_at_speed(12.0);  // dot 0.1 s
    const auto sheet = make_message_sheet(draft(std::string(50, 'E'), Grouping::fives), hand);
    ASSERT_TRUE(sheet);
    // Units by ITU-R M.1677-1 patterns: characters, 3 between them, 7 after each word.
    const double ka = 15 + 7;
    const double nr = 5 + 3 + 7 + 7;
    const double three = 13 + 7;
    const double gr = 9 + 3 + 7 + 7;
    const double ten = 17 + 3 + 19 + 7;
    const double date = 15 + 11 + 17 + 15 + 13 + 19 + 11 + 6 * 3 + 7;
    const double bt = 13 + 7;
    const double end = (13 + 7) + (9 + 7);
    EXPECT_NEAR(sheet->message_air_s, 0.1 * (ka + nr + three + gr + ten + date + bt + 240 + end),
                1e-9);
    EXPECT_GT(sheet->air_s, sheet->message_air_s);
    // Half the speed, twice the time.
    EXPECT_NEAR(
        make_message_sheet(draft(std::string(50, 'E'), Grouping::fives), *hand_at_speed(6.0))
            ->air_s,
        2.0 * sheet->air_s, 1e-9);
}

TEST(MessageSheet, WhatCannotBeSentIsRefused) {
    const auto refused = [](const MessageDraft& d) {
        const auto sheet = make_message_sheet(d, *hand_at_speed(12.0));
        return sheet ? std::string() : sheet.error().message;
    };
    EXPECT_NE(refused(draft("", Grouping::words)).find("text: is empty"), std::string::npos);
    EXPECT_NE(refused(draft(" \n", Grouping::fives)).find("text: is empty"), std::string::npos);
    EXPECT_NE(refused(draft("all well!", Grouping::words)).find("'!' at character 9"),
              std::string::npos);
    EXPECT_NE(refused(draft("well.", Grouping::fives)).find("'.' at character 5"),
              std::string::npos);
    EXPECT_NE(
        refused(draft("gr\xC3\xBC\xC3\x9F", Grouping::words)).find("byte 0xC3 at character 3"),
        std::string::npos);
    EXPECT_NE(refused(draft("[SK]", Grouping::words)).find("'[' at character 1"),
              std::string::npos);
    MessageDraft bad = draft("well", Grouping::words);
    bad.number = 0;
    EXPECT_NE(refused(bad).find("number: 0; allowed: 1 to 9999"), std::string::npos);
    bad = draft("well", Grouping::words);
    bad.to = "";
    EXPECT_NE(refused(bad).find("to: is missing"), std::string::npos);
    bad.to = "QXB2 [SK]";
    EXPECT_NE(refused(bad).find("is not a call"), std::string::npos);
    EXPECT_NE(refused(draft(std::string(5 * 2001, 'A'), Grouping::fives)).find("1 to 2000"),
              std::string::npos);
}

}  // namespace
}  // namespace skedlark::station
