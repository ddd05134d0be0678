// Each rule of tone_choice.h by itself, worked out by hand.
#include "dsp/watch/tone_choice.h"

#include <gtest/gtest.h>

namespace skedlark::watch {
namespace {

using Tones = std::vector<int>;

Candidate keyed(int tone, double pitch_hz, double snr_db = -10.0, double odds = 1e-20) {
    return {tone, pitch_hz, true, snr_db, odds};
}
Followed followed(int tone, double pitch_hz) {
    return {.tone = tone,
            .start_hz = pitch_hz,
            .pitch_hz = pitch_hz,
            .real = true,
            .makes_sense = true};
}

Choice choose_from(const ChoiceConfig& config, const std::vector<Candidate>& found,
                   const std::vector<Followed>& now, double moved_hz = 0.0) {
    return choose(config, found, now, moved_hz);
}

ChoiceConfig near_700() { return {.from_hz = 550.0, .to_hz = 850.0, .told_hz = 700.0}; }

TEST(ToneChoice, NothingFoundNothingTaken) {
    const Choice choice = choose_from({}, {}, {});
    EXPECT_TRUE(choice.take_up.empty() && choice.yield.empty() && choice.not_keyed.empty());
}

TEST(ToneChoice, TakesKeyedTones) {
    Candidate steady = keyed(1, 500);
    steady.keyed = false;
    Candidate unknown = keyed(2, 600);
    unknown.keyed.reset();
    unknown.known_s = 1.0;
    EXPECT_TRUE(choose_from({}, {steady, unknown}, {}).take_up.empty());
    EXPECT_EQ(choose_from({}, {steady, unknown, keyed(3, 700)}, {}).take_up, Tones{3});
}

TEST(ToneChoice, TriesAnUnknownToneWhereNoKeyedOneIs) {
    Candidate unknown = keyed(1, 600);
    unknown.keyed.reset();
    EXPECT_EQ(choose_from({}, {unknown}, {}).take_up, Tones{1});
    EXPECT_EQ(choose_from({}, {unknown, keyed(2, 700)}, {}).take_up, Tones{2});
    Followed trial = followed(1, 600);
    trial.real = trial.makes_sense = false;
    EXPECT_EQ(choose_from({}, {unknown, keyed(2, 700)}, {trial}).yield, Tones{1});
    unknown.false_alarm_odds = 1e-4;  // may be noise
    EXPECT_TRUE(choose_from({}, {unknown}, {}).take_up.empty());
    unknown.false_alarm_odds = 1e-20;
    unknown.known_s = kTryUnknownAfterS - 1.0;  // may still be judged
    EXPECT_TRUE(choose_from({}, {unknown}, {}).take_up.empty());
}

TEST(ToneChoice, LikeliestFirstThenStrongest) {
    EXPECT_EQ(choose_from({}, {keyed(1, 500, -5, 1e-4), keyed(2, 700, -9, 1e-8)}, {}).take_up,
              Tones{2});
    EXPECT_EQ(choose_from({}, {keyed(1, 500, -9, 1e-200), keyed(2, 700, -5, 1e-90)}, {}).take_up,
              Tones{2});
}

TEST(ToneChoice, NearestFirstAndOnlyWithinTheSpanWhereAPitchIsTold) {
    EXPECT_EQ(choose_from(near_700(), {keyed(1, 800, 10), keyed(2, 690, -10)}, {}).take_up,
              Tones{2});
    EXPECT_TRUE(choose_from(near_700(), {keyed(1, 900)}, {}).take_up.empty());
}

TEST(ToneChoice, TheSpanMovesWithTheReceiver) {
    EXPECT_EQ(choose_from(near_700(), {keyed(1, 900)}, {}, 170.0).take_up, Tones{1});
}

TEST(ToneChoice, FillsAsManyPlacesAsThereAre) {
    ChoiceConfig config;
    config.tones = 2;
    const std::vector<Candidate> found{keyed(1, 500, 0), keyed(2, 700, 5), keyed(3, 900, 3)};
    EXPECT_EQ(choose_from(config, found, {}).take_up, (Tones{2, 3}));
    EXPECT_EQ(choose_from(config, found, {followed(1, 500)}).take_up, Tones{2});
    EXPECT_TRUE(choose_from(config, found, {followed(1, 500), followed(3, 900)}).take_up.empty());
}

TEST(ToneChoice, AFollowedToneIsNotTakenTwice) {
    ChoiceConfig config;
    config.tones = 2;
    EXPECT_TRUE(choose_from(config, {keyed(2, 705)}, {followed(1, 700)}).take_up.empty());
    EXPECT_TRUE(choose_from(config, {keyed(1, 760)}, {followed(1, 700)}).take_up.empty());
}

TEST(ToneChoice, AStrongerToneDoesNotPushOutARealOne) {
    const Choice choice = choose_from({}, {keyed(2, 900, 20)}, {followed(1, 700)});
    EXPECT_TRUE(choice.take_up.empty() && choice.yield.empty());
}

TEST(ToneChoice, ARealOnePushesOutAFalseAlarm) {
    Followed guess = followed(1, 700);
    guess.real = false;
    const Choice choice = choose_from({}, {keyed(2, 900)}, {guess});
    EXPECT_EQ(choice.yield, Tones{1});
    EXPECT_EQ(choice.take_up, Tones{2});
}

TEST(ToneChoice, ASilentToneIsHeldUntilAnotherHasAClaim) {
    Followed silent = followed(1, 700);
    silent.silent_s = 3600.0;
    EXPECT_TRUE(choose_from({}, {}, {silent}).yield.empty());
    EXPECT_EQ(choose_from({}, {keyed(2, 900)}, {silent}).yield, Tones{1});
    silent.silent_s = ChoiceConfig{}.yield_after_s - 1.0;
    EXPECT_TRUE(choose_from({}, {keyed(2, 900)}, {silent}).yield.empty());
}

TEST(ToneChoice, ClearlyNearerToThePitchToldWinsAndStaysWon) {
    const Choice choice = choose_from(near_700(), {keyed(2, 705)}, {followed(1, 790)});
    EXPECT_EQ(choice.yield, Tones{1});
    EXPECT_EQ(choice.take_up, Tones{2});
    EXPECT_TRUE(choose_from(near_700(), {keyed(1, 790)}, {followed(2, 705)}).yield.empty());
    EXPECT_TRUE(choose_from(near_700(), {keyed(2, 705)}, {followed(1, 720)}).yield.empty());
}

TEST(ToneChoice, AKnockedToneIsNotLeftForOneThatComesNear) {
    // Taken up at 705, knocked to 875 with everything else: a neighbour now stands at 700.
    Followed knocked = followed(1, 705);
    knocked.pitch_hz = 875.0;
    EXPECT_TRUE(choose_from(near_700(), {keyed(2, 700)}, {knocked}, 170.0).yield.empty());
}

TEST(ToneChoice, AWeakToneWaitsWhileAStrongerOneMayProveKeyed) {
    Candidate strong = keyed(1, 700, 30);
    strong.keyed.reset();
    strong.known_s = 2.0;
    EXPECT_TRUE(choose_from({}, {strong, keyed(2, 760, -5)}, {}).take_up.empty());
    strong.false_alarm_odds = 1e-4;          // not worth a trial itself
    strong.known_s = kMayProveKeyedS + 1.0;  // long enough: speech, perhaps
    EXPECT_EQ(choose_from({}, {strong, keyed(2, 760, -5)}, {}).take_up, Tones{2});
    strong.known_s = 2.0;
    strong.snr_2500hz_db = -3.0;  // hardly stronger
    EXPECT_EQ(choose_from({}, {strong, keyed(2, 760, -5)}, {}).take_up, Tones{2});
}

// Found a moment before the tone whose side line it is, it must not be tried in its stead.
TEST(ToneChoice, ATrialWaitsForAStrongerOneToo) {
    Candidate strong = keyed(1, 700, -6);
    strong.keyed.reset();
    strong.known_s = kTryUnknownAfterS - 0.5;
    Candidate side_line = keyed(2, 676, -15);
    side_line.keyed.reset();
    side_line.known_s = kTryUnknownAfterS + 0.1;
    EXPECT_TRUE(choose_from({}, {side_line, strong}, {}).take_up.empty());
    strong.known_s = kTryUnknownAfterS + 0.1;
    EXPECT_EQ(choose_from({}, {side_line, strong}, {}).take_up, Tones{1});
}

TEST(ToneChoice, AMuchStrongerToneTakesThePlaceOfOneThatMakesNoSense) {
    Followed splatter = followed(1, 900);
    splatter.snr_2500hz_db = -5.0;
    splatter.makes_sense = false;
    EXPECT_EQ(choose_from({}, {keyed(2, 700, 30)}, {splatter}).yield, Tones{1});
    // Own sidetone is loud too: it must not take the place of a base that is being copied.
    splatter.makes_sense = true;
    EXPECT_TRUE(choose_from({}, {keyed(2, 700, 30)}, {splatter}).yield.empty());
}

TEST(ToneChoice, DropsWhatProvesNotKeyed) {
    Followed steady = followed(1, 700);
    steady.not_keyed_s = kDropAfterS + 1.0;
    const Choice choice = choose_from({}, {keyed(2, 900)}, {steady});
    EXPECT_EQ(choice.not_keyed, Tones{1});
    EXPECT_EQ(choice.take_up, Tones{2});
    steady.not_keyed_s = kDropAfterS - 1.0;
    EXPECT_TRUE(choose_from({}, {}, {steady}).not_keyed.empty());
}

}  // namespace
}  // namespace skedlark::watch
