#include "gui/sweep/zero_in_words.h"

#include <gtest/gtest.h>

namespace skedlark::gui {
namespace {

ZeroInHeard heard(double off_hz, double turn_div, dial::Turn turn, bool sure, bool cross) {
    ZeroInHeard way;
    way.div = 43.6;
    way.advice = dial::ZeroInAdvice{700.0 + off_hz, off_hz, turn_div, turn, sure, cross};
    return way;
}

TEST(ZeroInWords, SaysWhichWayAndHowFar) {
    const auto up = words_of(heard(300.0, 0.31, dial::Turn::up, true, false));
    EXPECT_EQ(up.word, "turn up");
    EXPECT_EQ(up.digits, "0.31 div");
    EXPECT_EQ(up.why, "1000 Hz: 300 too high");
    EXPECT_EQ(words_of(heard(-100.0, 0.0036, dial::Turn::down, true, false)).digits, "0.0036 div");
    EXPECT_EQ(words_of(heard(-100.0, 0.036, dial::Turn::down, true, false)).digits, "0.036 div");
}

TEST(ZeroInWords, ClaimsNoDistanceWhereTheSideIsNotKnown) {
    const auto trial = words_of(heard(300.0, 0.31, dial::Turn::up, false, false));
    EXPECT_EQ(trial.digits, "a little");
    EXPECT_NE(trial.why.find("side"), std::string::npos);
    EXPECT_NE(words_of(heard(300.0, 0.31, dial::Turn::up, true, true)).why.find("zero beat"),
              std::string::npos);
}

TEST(ZeroInWords, ThereAndNothingHeard) {
    auto there = heard(5.0, 0.0, dial::Turn::here, true, false);
    EXPECT_EQ(words_of(there).word, "there");
    EXPECT_EQ(words_of(there).digits, "705 Hz");
    there.held = true;
    EXPECT_NE(words_of(there).why.find("Held"), std::string::npos);
    ZeroInHeard silent;
    silent.div = 42.814;
    EXPECT_EQ(words_of(silent).word, "listen");
    EXPECT_EQ(words_of(silent).digits, "near 42.81");
    EXPECT_FALSE(words_of(silent).heard);
}

}  // namespace
}  // namespace skedlark::gui
