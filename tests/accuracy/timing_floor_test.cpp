#include "tests/accuracy/timing_floor.h"

#include <gtest/gtest.h>

#include <cmath>

#include "tests/accuracy/study.h"
#include "tests/support/seed.h"
#include "tests/support/text_score.h"

namespace skedlark::accuracy {
namespace {

synth::Keyed keyed(const synth::Fist& fist, const std::string& text, std::uint64_t seed) {
    synth::Keyer keyer({.speed_wpm = 16.0, .fist = fist}, seed);
    synth::Keyed result;
    EXPECT_TRUE(keyer.send(text, 0.0, result).ok());
    return result;
}

TEST(TimingFloor, MachineKeyingIsReadWhole) {
    const std::string text = letter_groups(20, support::test_seed(1));
    EXPECT_EQ(decode_timing(keyed({}, text, 2).marks, {{}, 16.0, kLetters}), text);
    EXPECT_EQ(decode_timing({}, {{}, 16.0, kLetters}), "");
}

TEST(TimingFloor, DoesNotLookAtWhatMarksWereMeantToBe) {
    const synth::Fist poor =
        synth::fist_by_name("poor").ok() ? *synth::fist_by_name("poor") : synth::Fist{};
    const std::string text = letter_groups(10, 5);
    synth::Keyed sent = keyed(poor, text, 6);
    const std::string read = decode_timing(sent.marks, {poor, 16.0, kLetters});
    for (synth::Mark& mark : sent.marks) mark.dash = !mark.dash;
    EXPECT_EQ(decode_timing(sent.marks, {poor, 16.0, kLetters}), read);
}

// Where marks and inner gaps are exact, only letter and word gaps can be taken for each other: the
// best two-class decision between two log-normals with priors .8 and .2, integrated numerically
// here.
TEST(TimingFloor, GapsReachTheBestTwoClassDecision) {
    synth::Fist fist;
    fist.character_gap = {3.2, 0.20};
    fist.word_gap = {7.5, 0.25};
    const auto density = [](double log_length, const synth::Length& length) {
        const double variance = std::log1p(length.cv * length.cv);
        const double off = log_length - std::log(length.mean_dots) + 0.5 * variance;
        return std::exp(-0.5 * off * off / variance) / std::sqrt(2.0 * M_PI * variance);
    };
    double per_gap = 0.0;
    constexpr double kStep = 1e-4;
    for (double x = 0.0; x < 4.0; x += kStep) {
        per_gap +=
            kStep * std::min(0.8 * density(x, fist.character_gap), 0.2 * density(x, fist.word_gap));
    }
    std::uint64_t seed = support::test_seed(9);
    long errors = 0;
    long gaps = 0;
    constexpr int kGroups = 40;
    for (int i = 0; i < 100; ++i) {
        const std::string text = letter_groups(kGroups, support::seed_for_part(seed, 2 * i));
        const auto sent = keyed(fist, text, support::seed_for_part(seed, 2 * i + 1));
        const auto score =
            support::score_text(text, decode_timing(sent.marks, {fist, 16.0, kLetters}));
        EXPECT_EQ(score.letters.errors, 0);
        errors += score.spaces.errors;
        gaps += 5 * kGroups - 1;
    }
    const double rate = static_cast<double>(errors) / static_cast<double>(gaps);
    EXPECT_NEAR(rate, per_gap, 4.0 * std::sqrt(per_gap / static_cast<double>(gaps)));
}

TEST(TimingFloor, TrackingTheWanderHelps) {
    synth::Fist fist = *synth::fist_by_name("poor");
    std::uint64_t seed = support::test_seed(12);
    support::TextScore told;
    support::TextScore untold;
    for (int i = 0; i < 6; ++i) {
        const std::string text = letter_groups(20, support::seed_for_part(seed, 2 * i));
        const auto sent = keyed(fist, text, support::seed_for_part(seed, 2 * i + 1));
        synth::Fist steady_speed = fist;
        steady_speed.drift = 0.0;
        told += support::score_text(text, decode_timing(sent.marks, {fist, 16.0, kLetters}));
        untold +=
            support::score_text(text, decode_timing(sent.marks, {steady_speed, 16.0, kLetters}));
    }
    EXPECT_LT(told.all.errors, untold.all.errors);
}

}  // namespace
}  // namespace skedlark::accuracy
