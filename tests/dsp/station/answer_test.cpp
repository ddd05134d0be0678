// By hand: 3560 kHz in 3000 to 5500; 2600 kHz doubled is 5200, in the second band.
#include "dsp/station/answer.h"

#include "tests/dsp/station/plans.h"

namespace skedlark::station {
namespace {

Answer answer(const Channel& channel, const std::string& more = "") {
    return find_answer(plan_of(std::string(kKit) + more + contact("a", "2026-11-26T18:30:00Z", 20)),
                       channel);
}

TEST(Answer, ACrystalOnItsOwnFrequencyAndDoubled) {
    const Answer own = answer({3570.0, "K1", {}});
    ASSERT_TRUE(own.band);
    EXPECT_EQ(own.band->position, "1");
    EXPECT_DOUBLE_EQ(own.khz, 3560.0);
    const Answer doubled = answer({5200.0, "K2", {}});
    ASSERT_TRUE(doubled.band);
    EXPECT_EQ(doubled.band->position, "2");
    EXPECT_DOUBLE_EQ(doubled.khz, 5200.0);
    EXPECT_EQ(doubled.problem, "");
}

TEST(Answer, TheCrystalForAFrequencyIsFound) {
    const Answer found = answer({5195.0, "", 5200.4});
    ASSERT_TRUE(found.crystal);
    EXPECT_EQ(found.crystal->name, "K2");
    EXPECT_EQ(found.problem, "");
    const Answer none = answer({5195.0, "", 5201.0});
    EXPECT_FALSE(none.band);
    EXPECT_NE(none.problem.find("5201 kHz"), std::string::npos) << none.problem;
}

// 3000 kHz is in the first band as it is, 3000 x 2 = 6000 in the second: the plain one is better.
TEST(Answer, TheLowerMultiplierWins) {
    const std::string crystal = "[[crystal]]\nname = \"K3\"\nkhz = 3000\n";
    EXPECT_EQ(answer({3570.0, "K3", {}}, crystal).band->position, "1");
    EXPECT_EQ(answer({3570.0, "K3", 6000.0}, crystal).band->position, "2");
}

TEST(Answer, WhatIsMissingIsSaid) {
    const std::string crystal = "[[crystal]]\nname = \"K9\"\nkhz = 8000\n";
    EXPECT_NE(
        answer({3570.0, "K9", {}}, crystal).problem.find("no transmitter band for crystal K9"),
        std::string::npos);
    EXPECT_NE(answer({3570.0, "K1", 3600.0}).problem.find("does not give 3600 kHz"),
              std::string::npos);
    const Answer silent = answer({3570.0, "", {}});
    EXPECT_FALSE(silent.wanted);
    EXPECT_EQ(silent.problem, "");
}

}  // namespace
}  // namespace skedlark::station
