#include "tests/accuracy/grid_decoder.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <boost/math/special_functions/bessel.hpp>
#include <cmath>
#include <random>

#include "dsp/core/units.h"
#include "tests/accuracy/study.h"
#include "tests/support/seed.h"
#include "tests/support/text_score.h"

namespace skedlark::accuracy {
namespace {

std::vector<std::complex<double>> noisy(const std::vector<bool>& keys, std::complex<double> tone,
                                        std::uint64_t seed) {
    std::mt19937_64 random(seed);
    std::normal_distribution<double> noise(0.0, std::sqrt(0.5));
    std::vector<std::complex<double>> sums;
    for (const bool down : keys) {
        sums.push_back((down ? tone : 0.0) + std::complex<double>(noise(random), noise(random)));
    }
    return sums;
}

// Source: PARIS is 50 units with its word gap of 7 (kent-engineers.com "codespeed").
TEST(GridDecoder, KeysThePublishedWord) {
    const std::vector<bool> grid = keyed_grid("PARIS");
    EXPECT_EQ(grid.size(), 43U);
    EXPECT_EQ(std::count(grid.begin(), grid.end(), true), 22);
}

TEST(GridDecoder, StrongSignalIsReadWhole) {
    const std::string text = letter_groups(10, support::test_seed(1));
    for (const Phase phase : {Phase::unknown, Phase::known}) {
        for (const Decision decision : {Decision::likeliest, Decision::posterior}) {
            const auto sums = noisy(keyed_grid(text), 8.0, 3);
            EXPECT_EQ(decode_grid(sums, {8.0, phase, decision, kLetters}), text);
        }
    }
}

// With only E and T as alphabet, one character in the message and its length known from the grid,
// what is left to decide does not depend on the noise: E is one interval, T three.
TEST(GridDecoder, LengthAloneTellsSingleCharacters) {
    EXPECT_EQ(decode_grid(noisy({true}, 0.0, 1), {1.0, Phase::unknown, Decision::posterior, "ET"}),
              "E");
    EXPECT_EQ(decode_grid(noisy({true, true, true}, 0.0, 1),
                          {1.0, Phase::unknown, Decision::posterior, "ET"}),
              "T");
}

// I (".. ": mark, gap, mark) against T (three marks): they differ in the middle interval, and with
// known phase that is coherent on-off keying of one dot: error Q(sqrt(E / 2 N0)), E the dot energy
// over noise (textbook, from memory). 20,000 messages of one character.
TEST(GridDecoder, KnownPhaseReachesTheCoherentErrorRate) {
    const double energy = power_from_db(7.0);
    std::mt19937_64 random(support::test_seed(8));
    constexpr int kTrials = 20000;
    int wrong = 0;
    for (int i = 0; i < kTrials; ++i) {
        const bool dash = i % 2 == 0;
        const auto sums =
            noisy(dash ? std::vector<bool>{true, true, true} : std::vector<bool>{true, false, true},
                  std::sqrt(energy), random());
        const std::string read =
            decode_grid(sums, {std::sqrt(energy), Phase::known, Decision::likeliest, "IT"});
        if (read != (dash ? "T" : "I")) ++wrong;
    }
    const double theory = 0.5 * std::erfc(std::sqrt(energy / 2.0) / std::sqrt(2.0));
    const double sigma = std::sqrt(theory / kTrials);
    EXPECT_NEAR(wrong / double{kTrials}, theory, 4.0 * sigma);
}

TEST(GridDecoder, KnowingThePhaseHelps) {
    // 20 wpm, -12 dB in 2500 Hz; about 3,000 characters: 3 % against 4.5 %, five sigma apart.
    const double amplitude = std::sqrt(power_from_db(-12.0) * 2500.0 * 0.06);
    std::mt19937_64 random(support::test_seed(4));
    support::TextScore unknown;
    support::TextScore known;
    for (int i = 0; i < 25; ++i) {
        const std::string text = letter_groups(20, random());
        const auto sums = noisy(keyed_grid(text), amplitude, random());
        unknown += support::score_text(
            text, decode_grid(sums, {amplitude, Phase::unknown, Decision::posterior, kLetters}));
        known += support::score_text(
            text, decode_grid(sums, {amplitude, Phase::known, Decision::posterior, kLetters}));
    }
    EXPECT_LT(known.all.rate(), unknown.all.rate());
    EXPECT_GT(known.all.rate(), 0.01);
    EXPECT_LT(unknown.all.rate(), 0.08);
}

TEST(LogBessel, ContinuesSmoothlyWhereItOverflows) {
    EXPECT_DOUBLE_EQ(log_bessel_i0(0.0), 0.0);
    EXPECT_NEAR(log_bessel_i0(1.0), std::log(1.2660658777520084), 1e-14);  // Abramowitz, Stegun 9.8
    EXPECT_NEAR(log_bessel_i0(400.0), std::log(boost::math::cyl_bessel_i(0, 400.0)), 1e-5);
    EXPECT_TRUE(std::isfinite(log_bessel_i0(1e5)));
}

}  // namespace
}  // namespace skedlark::accuracy
