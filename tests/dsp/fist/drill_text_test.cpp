#include "dsp/fist/drill_text.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <sstream>

#include "dsp/morse/code_table.h"

namespace skedlark::fist {
namespace {

constexpr DrillKind kAll[] = {DrillKind::groups, DrillKind::plain, DrillKind::calls,
                              DrillKind::figures, DrillKind::procedure};

std::map<std::string, int> counts(const std::string& text) {
    std::map<std::string, int> out;
    const auto names = morse::scoring_symbols(text);
    if (!names) return out;
    for (const std::string& name : *names) ++out[name];
    return out;
}

std::vector<std::string> words(const std::string& text) {
    std::istringstream in(text);
    std::vector<std::string> out;
    for (std::string word; in >> word;) out.push_back(word);
    return out;
}

TEST(DrillText, EveryKindIsInsideTheCodeAndRepeatable) {
    for (const DrillKind kind : kAll) {
        EXPECT_EQ(drill_kind_by_name(name_of(kind)), kind);
        for (std::uint64_t seed = 1000; seed < 1030; ++seed) {
            const auto text = drill_text(kind, 12, {}, seed);
            ASSERT_TRUE(text);
            EXPECT_TRUE(morse::symbols_from_text(*text)) << *text;
            EXPECT_EQ(*text, *drill_text(kind, 12, {}, seed));
            EXPECT_NE(*text, *drill_text(kind, 12, {}, seed + 1));
        }
    }
    EXPECT_FALSE(drill_kind_by_name("lessons"));
}

TEST(DrillText, GroupsFiguresAndCallsHaveTheirShape) {
    const auto groups = words(*drill_text(DrillKind::groups, 20, {}, 1000));
    ASSERT_EQ(groups.size(), 20U);
    for (const auto& group : groups) {
        EXPECT_EQ(group.size(), 5U);
        EXPECT_EQ(group.find_first_not_of("ABCDEFGHIJKLMNOPQRSTUVWXYZ"), std::string::npos);
    }
    for (const auto& group : words(*drill_text(DrillKind::figures, 20, {}, 1000))) {
        EXPECT_EQ(group.size(), 5U);
        EXPECT_EQ(group.find_first_not_of("0123456789"), std::string::npos);
    }
    // Invented: from QVA to QZZ, a series nobody has.
    for (const auto& call : words(*drill_text(DrillKind::calls, 100, {}, 1000))) {
        ASSERT_EQ(call.size(), 4U);
        EXPECT_GE(call.substr(0, 3), "QVA");
        EXPECT_LE(call.substr(0, 3), "QZZ");
        EXPECT_TRUE(call[3] >= '0' && call[3] <= '9');
    }
}

// ITU-R M.1677-1 procedure signals, but for the error signal, which nobody sends on purpose.
TEST(DrillText, ProcedureHasAllSignalsInIt) {
    const auto text = *drill_text(DrillKind::procedure, 200, {}, 1000);
    for (const char* signal : {"[VE]", "[AS]", "[SK]", "[KA]", "[AR]", "[BT]", "[KN]"}) {
        EXPECT_NE(text.find(signal), std::string::npos) << signal;
    }
    EXPECT_EQ(text.find('#'), std::string::npos);
}

// Weight 4 against 25 letters of weight 1: 4/29 of the characters, by the closed form; 1000 groups
// give a standard deviation of 0.5 %.
TEST(DrillText, AWeightIsHowOftenACharacterComes) {
    int k = 0;
    int q = 0;
    int all = 0;
    for (std::uint64_t seed = 1000; seed < 1005; ++seed) {
        auto count = counts(*drill_text(DrillKind::groups, 200, {{"K", 4.0}}, seed));
        k += count["K"];
        q += count["Q"];
        all += 1000;
    }
    EXPECT_NEAR(static_cast<double>(k) / all, 4.0 / 29.0, 0.02);
    EXPECT_NEAR(static_cast<double>(q) / all, 1.0 / 29.0, 0.01);
}

TEST(DrillText, SentencesLeanToWhatWeighsMore) {
    const DrillWeights weights{{"W", 5.0}, {"SK", 5.0}};
    int plain_more = 0, plain_even = 0, air_more = 0, air_even = 0;
    for (std::uint64_t seed = 1000; seed < 1010; ++seed) {
        plain_more += counts(*drill_text(DrillKind::plain, 30, weights, seed))["W"];
        plain_even += counts(*drill_text(DrillKind::plain, 30, {}, seed))["W"];
        air_more += counts(*drill_text(DrillKind::procedure, 30, weights, seed))["SK"];
        air_even += counts(*drill_text(DrillKind::procedure, 30, {}, seed))["SK"];
    }
    EXPECT_GT(plain_more, plain_even * 5 / 4);
    EXPECT_GT(air_more, air_even * 3 / 2);
}

TEST(DrillText, MoreErrorsWeighMoreWithinBounds) {
    const auto weights = weights_from({{"A", {100.0, 0.0}},
                                       {"B", {100.0, 10.0}},
                                       {"C", {100.0, 30.0}},
                                       {"D", {100.0, 100.0}},
                                       {"E", {1.0, 1.0}}});
    EXPECT_DOUBLE_EQ(weights.at("A"), kLeastWeight);
    EXPECT_DOUBLE_EQ(weights.at("B"), 1.0);  // one in ten
    EXPECT_GT(weights.at("C"), weights.at("B"));
    EXPECT_DOUBLE_EQ(weights.at("D"), kMostWeight);
    EXPECT_LT(weights.at("E"), 2.0);  // one slip
    // Weights from elsewhere are bounded as well: nothing is left out.
    EXPECT_GT(counts(*drill_text(DrillKind::figures, 200, {{"7", 0.0}}, 1000))["7"], 0);
}

TEST(DrillText, TheCountIsChecked) {
    EXPECT_FALSE(drill_text(DrillKind::groups, 0, {}, 1));
    EXPECT_FALSE(drill_text(DrillKind::groups, kMostDrillCount + 1, {}, 1));
    const auto wrong = drill_text(DrillKind::groups, -3, {}, 1);
    ASSERT_FALSE(wrong);
    EXPECT_NE(wrong.error().message.find("1 to 200"), std::string::npos);
}

TEST(DrillText, GroupsAreDrawnOfTheCharactersNamedOnly) {
    const auto text = drill_text(DrillKind::groups, 50, {}, 1, "ETA");
    ASSERT_TRUE(text.ok());
    EXPECT_EQ(text->find_first_not_of("ETA "), std::string::npos) << *text;
    EXPECT_FALSE(drill_text(DrillKind::groups, 5, {}, 1, "E7").ok());
    EXPECT_FALSE(drill_text(DrillKind::figures, 5, {}, 1, "E").ok());
}

TEST(DrillText, WhatACharacterWasTakenForComesAsOftenAsIt) {
    const std::map<std::string, CharacterTally> tallies{{"H", {20.0, 12.0}}, {"S", {20.0, 0.0}}};
    const auto weights = weights_from(tallies, {{"H", "S", 12}});
    EXPECT_NEAR(weights.at("H"), weights_from(tallies).at("H"), 1e-12);
    EXPECT_EQ(weights.at("S"), weights.at("H"));
    EXPECT_LT(weights_from(tallies).at("S"), 1.0);
}

// Without a record the order is that of the lengths in ITU-R M.1677-1: E 1; I, T 3; A, N, S 5; 0 19.
TEST(PracticeOrder, ByLengthWhereNothingIsKnownByErrorsWhereItIs) {
    const auto order = practice_order({});
    ASSERT_EQ(order.size(), 36U);
    EXPECT_EQ(order[0], "E");
    EXPECT_EQ(order[1] + order[2], "IT");
    EXPECT_EQ(order[3] + order[4] + order[5], "ANS");
    EXPECT_EQ(order.back(), "0");
    const auto known = practice_order({{"E", {40.0, 20.0}}, {"0", {40.0, 0.0}}});
    EXPECT_EQ(known.back(), "E");
    EXPECT_LT(std::find(known.begin(), known.end(), "0") - known.begin(), 18);
}

}  // namespace
}  // namespace skedlark::fist
