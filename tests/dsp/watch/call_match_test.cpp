#include "dsp/watch/call_match.h"

#include <gtest/gtest.h>

namespace skedlark::watch {
namespace {

CharEvent read(const std::string& text, double confidence,
               std::vector<std::pair<std::string, double>> others = {}) {
    CharEvent event;
    event.text = text;
    event.confidence = confidence;
    event.others = std::move(others);
    return event;
}

void read_all(CallMatch& match, const std::string& text, double confidence) {
    for (const char c : text) match.add(read(std::string(1, c), confidence));
}

TEST(CallMatch, OddsAreTheProductOfItsCharacters) {
    auto match = *CallMatch::create({"qvb", "QZA7/P"});
    read_all(match, "VVV QVB ", 0.9);
    ASSERT_TRUE(match.expected());
    EXPECT_EQ(match.expected()->call, "QVB");
    EXPECT_NEAR(match.expected()->confidence, 0.9 * 0.9 * 0.9, 1e-12);
    read_all(match, "QZA7/P", 0.99);
    EXPECT_EQ(match.expected()->call, "QZA7/P");
}

TEST(CallMatch, OtherReadingsAndWordGapsInside) {
    auto match = *CallMatch::create({"QVB"});
    match.add(read("Q", 0.9));
    match.add(read(" ", 0.6));
    match.add(read("U", 0.55, {{"V", 0.4}}));
    match.add(read("B", 0.95));
    ASSERT_TRUE(match.expected());
    EXPECT_NEAR(match.expected()->confidence, 0.9 * 0.4 * 0.95, 1e-12);
}

TEST(CallMatch, WhatWasNotReadIsNoCall) {
    auto match = *CallMatch::create({"QVB"});
    read_all(match, "QVC QAB PVB", 0.95);
    EXPECT_FALSE(match.expected());
    auto heard = read("Q", 0.9);
    heard.final = false;
    match.add(heard);
    EXPECT_FALSE(match.expected());
}

TEST(CallMatch, AnotherCallIsOneAfterDe) {
    auto match = *CallMatch::create({"QVB"});
    read_all(match, "QVX DE QZK K ", 0.97);
    ASSERT_TRUE(match.other());
    EXPECT_EQ(match.other()->call, "QZK");
    auto ours = *CallMatch::create({"QVB"});
    read_all(ours, "QZK DE QVB K ", 0.97);
    EXPECT_FALSE(ours.other());
    auto doubtful = *CallMatch::create({"QVB"});
    read_all(doubtful, "QZK DE QZK K ", 0.6);
    EXPECT_FALSE(doubtful.other());
}

TEST(CallMatch, CallsThatCannotBe) {
    EXPECT_TRUE(CallMatch::create({}).ok());
    for (const char* call : {"", "Q", "QV B", "QV-1", "QVABCDEFGHIJKLMN", "Q\xc3\x84"}) {
        const auto match = CallMatch::create({call});
        ASSERT_FALSE(match.ok()) << call;
        EXPECT_NE(match.error().message.find("allowed"), std::string::npos);
    }
}

}  // namespace
}  // namespace skedlark::watch
