#include "dsp/synth/keyer.h"

#include <gtest/gtest.h>

#include <cmath>
#include <string>

#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

Keyed keyed_text(const std::string& text, const KeyerConfig& config, std::uint64_t seed) {
    Keyer keyer(config, seed);
    Keyed keyed;
    const auto end_s = keyer.send(text, 0.0, keyed);
    EXPECT_TRUE(end_s);
    return keyed;
}

// 50-unit word PARIS, dot 60 ms at 20 wpm: first mark of the second word exactly 3 s after the
// first's.
TEST(Keyer, MachineSendsTheStandard) {
    const Keyed keyed = keyed_text("PARIS PARIS", {20.0}, 1);
    ASSERT_EQ(keyed.marks.size(), 28U);
    EXPECT_NEAR(keyed.marks[14].on_s, 3.0, 1e-9);
    // P is .--.
    const double expected[] = {0.0, 0.06, 0.12, 0.30, 0.36, 0.54, 0.60, 0.66};
    for (int i = 0; i < 4; ++i) {
        EXPECT_NEAR(keyed.marks[i].on_s, expected[2 * i], 1e-9);
        EXPECT_NEAR(keyed.marks[i].off_s, expected[2 * i + 1], 1e-9);
        EXPECT_EQ(keyed.marks[i].dash, i == 1 || i == 2);
    }
    ASSERT_EQ(keyed.characters.size(), 11U);
    EXPECT_EQ(keyed.characters[1].text, "A");
    EXPECT_NEAR(keyed.characters[1].from_s, 0.66 + 0.18, 1e-9);
    EXPECT_EQ(keyed.characters[5].text, " ");
    EXPECT_NEAR(keyed.characters[5].to_s - keyed.characters[5].from_s, 7 * 0.06, 1e-9);
}

struct Sample {
    std::vector<double> values;
    [[nodiscard]] double mean() const {
        double sum = 0.0;
        for (const double v : values) sum += v;
        return sum / static_cast<double>(values.size());
    }
    [[nodiscard]] double cv() const {
        double sum = 0.0;
        for (const double v : values) sum += (v - mean()) * (v - mean());
        return std::sqrt(sum / static_cast<double>(values.size())) / mean();
    }
};

struct Lengths {
    Sample dot, dash, element_gap, character_gap, word_gap;
};

// Sorts marks and gaps by the characters' times alone. dot_s: lengths are given in dots.
Lengths lengths_of(const Keyed& keyed, double dot_s) {
    Lengths out;
    std::size_t character = 0;
    for (std::size_t i = 0; i < keyed.marks.size(); ++i) {
        const Mark& mark = keyed.marks[i];
        (mark.dash ? out.dash : out.dot).values.push_back((mark.off_s - mark.on_s) / dot_s);
        if (i + 1 == keyed.marks.size()) break;
        const double gap = (keyed.marks[i + 1].on_s - mark.off_s) / dot_s;
        if (mark.off_s < keyed.characters[character].to_s - 1e-9) {
            out.element_gap.values.push_back(gap);
        } else if (keyed.characters[character + 1].text == " ") {
            out.word_gap.values.push_back(gap);
            character += 2;
        } else {
            out.character_gap.values.push_back(gap);
            ++character;
        }
    }
    return out;
}

void expect_length(const Sample& sample, const Length& length, const std::string& what) {
    const double error = length.cv / std::sqrt(static_cast<double>(sample.values.size()));
    ASSERT_GT(sample.values.size(), 900U);
    EXPECT_NEAR(sample.mean(), length.mean_dots, 5.0 * length.mean_dots * error + 1e-9) << what;
    // A log-normal's own tails widen the error of its spread: by the square root of 1 + 4 cv^2 or
    // so.
    EXPECT_NEAR(sample.cv(), length.cv,
                5.0 * error * std::sqrt(0.5 + 2.0 * length.cv * length.cv) * 1.5 + 1e-9)
        << what;
}

// Means and coefficients of variation as configured; limits are five standard errors.
TEST(Keyer, HandsHaveTheirStatistics) {
    std::string text;
    for (int i = 0; i < 1000; ++i) text += "PARIS ";
    for (const NamedFist& named : named_fists()) {
        KeyerConfig config{18.0, 0.0, named.fist};
        config.fist.drift = 0.0;
        const Keyed keyed = keyed_text(text, config, probe::test_seed());
        const Lengths lengths = lengths_of(keyed, 1.2 / 18.0);
        const std::string name(named.name);
        expect_length(lengths.dot, named.fist.dot, name + " dot");
        expect_length(lengths.dash, named.fist.dash, name + " dash");
        expect_length(lengths.element_gap, named.fist.element_gap, name + " element gap");
        expect_length(lengths.character_gap, named.fist.character_gap, name + " character gap");
        expect_length(lengths.word_gap, named.fist.word_gap, name + " word gap");
    }
}

// Definition: the wander's relative standard deviation is `drift`, its memory falls to 1/e in
// drift_time_s.
TEST(Keyer, SpeedWanders) {
    std::string text;
    for (int i = 0; i < 6000; ++i) text += "EEEEE ";
    KeyerConfig config{60.0, 0.0, Fist{}};
    config.fist.drift = 0.1;
    config.fist.drift_time_s = 2.0;
    const Keyed keyed = keyed_text(text, config, probe::test_seed());
    std::vector<double> logs;
    double square = 0.0;
    double product = 0.0;
    int pairs = 0;
    std::size_t later = 0;
    for (const Mark& mark : keyed.marks) logs.push_back(std::log((mark.off_s - mark.on_s) / 0.02));
    for (std::size_t i = 0; i < logs.size(); ++i) {
        square += logs[i] * logs[i];
        while (later < logs.size() && keyed.marks[later].on_s < keyed.marks[i].on_s + 2.0) ++later;
        if (later == logs.size()) break;
        product += logs[i] * logs[later];
        ++pairs;
    }
    // 2900 s hold some 700 independent stretches: 2.7 % of error in the deviation.
    EXPECT_NEAR(std::sqrt(square / static_cast<double>(logs.size())), 0.1, 0.014);
    EXPECT_NEAR(product / square * static_cast<double>(logs.size()) / pairs, std::exp(-1.0), 0.15);
}

// Bloom, QEX April 1990, worked 13/5: gaps 1.4429 and 3.3668 s; 20/10: 0.6537 and 1.5253 s.
TEST(Keyer, StretchedSpacing) {
    struct Worked {
        double character_wpm, overall_wpm, letter_s, word_s;
    };
    for (const Worked& w : {Worked{13, 5, 1.4429, 3.3668}, Worked{20, 10, 0.6537, 1.5253}}) {
        const Keyed keyed = keyed_text("AA A", {w.character_wpm, w.overall_wpm, Fist{}}, 1);
        EXPECT_NEAR(keyed.marks[2].on_s - keyed.marks[1].off_s, w.letter_s, 5e-5);
        EXPECT_NEAR(keyed.marks[4].on_s - keyed.marks[3].off_s, w.word_s, 5e-5);
        EXPECT_NEAR(keyed.marks[0].off_s, 1.2 / w.character_wpm, 1e-9);
    }
}

TEST(Keyer, GoesOnWhereItIs) {
    Keyer keyer({20.0}, 1);
    Keyed keyed;
    EXPECT_NEAR(*keyer.send("E", 2.0, keyed), 2.06, 1e-9);
    EXPECT_NEAR(*keyer.send("T", 1.0, keyed), 2.06 + 0.42 + 0.18,
                1e-9);  // too early: a word gap later
    EXPECT_NEAR(*keyer.send("[AR]", 9.0, keyed), 9.0 + 13 * 0.06, 1e-9);
    ASSERT_EQ(keyed.characters.size(), 5U);
    EXPECT_EQ(keyed.characters[4].text, "AR");
    EXPECT_TRUE(keyed.characters[4].procedure);
    EXPECT_FALSE(keyer.send("A!", 10.0, keyed));
    EXPECT_TRUE(keyer.send("", 10.0, keyed));
    EXPECT_EQ(keyed.characters.size(), 5U);
}

}  // namespace
}  // namespace skedlark::synth
