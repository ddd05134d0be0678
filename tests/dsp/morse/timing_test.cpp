// Against ITU-R M.1677-1 section 2 and Bloom, QEX April 1990; computed figures follow from the
// patterns.
#include "dsp/morse/timing.h"

#include <gtest/gtest.h>

#include <numeric>
#include <string>

#include "dsp/morse/code_table.h"

namespace skedlark::morse {
namespace {

// PARIS: dots 10, dashes 12, inner gaps 9, letter gaps 12, word gap 7 (kent-engineers.com
// "codespeed").
TEST(Timing, PartsOfParis) {
    const auto elements = timed_elements("PARIS", {}, true);
    ASSERT_TRUE(elements);
    double sums[5] = {};
    for (const TimedElement& element : *elements) {
        sums[static_cast<int>(element.kind)] += element.units;
    }
    EXPECT_DOUBLE_EQ(sums[static_cast<int>(ElementKind::dot)], 10.0);
    EXPECT_DOUBLE_EQ(sums[static_cast<int>(ElementKind::dash)], 12.0);
    EXPECT_DOUBLE_EQ(sums[static_cast<int>(ElementKind::element_gap)], 9.0);
    EXPECT_DOUBLE_EQ(sums[static_cast<int>(ElementKind::character_gap)], 12.0);
    EXPECT_DOUBLE_EQ(sums[static_cast<int>(ElementKind::word_gap)], 7.0);
}

// PARIS 50 (kent-engineers.com); CODEX 60, MORSE 50, EEEEE 24, 00000 114 computed from the
// patterns.
TEST(Timing, Words) {
    EXPECT_DOUBLE_EQ(*units_of_text("PARIS"), 50.0);
    EXPECT_DOUBLE_EQ(*units_of_text("CODEX"), 60.0);
    EXPECT_DOUBLE_EQ(*units_of_text("MORSE"), 50.0);
    EXPECT_DOUBLE_EQ(*units_of_text("EEEEE"), 24.0);
    EXPECT_DOUBLE_EQ(*units_of_text("00000"), 114.0);
    EXPECT_DOUBLE_EQ(*units_of_text("PARIS PARIS"), 100.0);
    EXPECT_DOUBLE_EQ(*units_of_text(""), 0.0);
}

double mean_units(const std::string& characters) {
    int units = 0;
    for (const char c : characters) units += units_of(find_by_text(std::string(1, c))->elements);
    return units / static_cast<double>(characters.size());
}

// Mean letter 8.231; random group 60.15, of figures 89.0, of both 68.17 (computed, equal
// likelihood).
TEST(Timing, CodeGroupLoad) {
    const std::string letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    const std::string figures = "0123456789";
    const double gaps = 4 * kCharacterGapUnits + kWordGapUnits;
    EXPECT_NEAR(mean_units(letters), 8.231, 5e-4);
    EXPECT_NEAR(5 * mean_units(letters) + gaps, 60.15, 5e-3);
    EXPECT_NEAR(5 * mean_units(figures) + gaps, 89.0, 1e-9);
    EXPECT_NEAR(5 * mean_units(letters + figures) + gaps, 68.17, 5e-3);
}

// 20 wpm: 60 ms by PARIS, 50 ms by CODEX (convention).
TEST(Timing, Codex) {
    EXPECT_NEAR(codex_dit_s(20.0), 0.050, 1e-12);
    EXPECT_NEAR(dit_s(20.0) * *units_of_text("PARIS"), codex_dit_s(20.0) * *units_of_text("CODEX"),
                1e-12);
}

TEST(Timing, ElementsInOrder) {
    const auto elements = timed_elements("AE T");
    ASSERT_TRUE(elements);
    const std::vector<TimedElement> expected = {
        {ElementKind::dot, 1},           {ElementKind::element_gap, 1}, {ElementKind::dash, 3},
        {ElementKind::character_gap, 3}, {ElementKind::dot, 1},         {ElementKind::word_gap, 7},
        {ElementKind::dash, 3}};
    EXPECT_EQ(*elements, expected);
    EXPECT_FALSE(timed_elements("A!"));
    // A procedure signal is one character: 13 dots against 5 + 3 + 7 of its letters.
    EXPECT_DOUBLE_EQ(*units_of_text("[AR]"), 20.0);
    EXPECT_DOUBLE_EQ(*units_of_text("AR"), 22.0);
}

struct Worked {
    double overall_wpm, character_wpm, character_gap_s, word_gap_s;
};

// Worked examples of Bloom's formula: 13/5 also by kent-engineers.com, the others computed.
TEST(Timing, StretchedSpacing) {
    for (const Worked& w : {Worked{5, 13, 1.4429, 3.3668}, Worked{5, 18, 1.5684, 3.6596},
                            Worked{10, 20, 0.6537, 1.5253}, Worked{5, 15, 1.5032, 3.5074}}) {
        const auto spacing = stretched_spacing(w.overall_wpm, w.character_wpm);
        ASSERT_TRUE(spacing);
        const double dot = dit_s(w.character_wpm);
        EXPECT_NEAR(spacing->character_gap_units * dot, w.character_gap_s, 5e-5);
        EXPECT_NEAR(spacing->word_gap_units * dot, w.word_gap_s, 5e-5);
        EXPECT_NEAR(*units_of_text("PARIS", *spacing) * dot, 60.0 / w.overall_wpm, 1e-9);
    }
    // Equal speeds are the standard.
    EXPECT_NEAR(stretched_spacing(20, 20)->character_gap_units, 3.0, 1e-12);
    EXPECT_NEAR(stretched_spacing(20, 20)->word_gap_units, 7.0, 1e-12);
}

TEST(Timing, BadSpeeds) {
    for (const auto& [overall, character] : {std::pair{20.0, 15.0},
                                             {3.0, 15.0},
                                             {5.0, 61.0},
                                             {0.0, 0.0},
                                             {-5.0, 20.0},
                                             {5.0, 0.0 / 0.0}}) {
        const auto spacing = stretched_spacing(overall, character);
        ASSERT_FALSE(spacing) << overall << " " << character;
        EXPECT_NE(spacing.error().message.find("_wpm: "), std::string::npos);
        EXPECT_NE(spacing.error().message.find("allowed"), std::string::npos);
    }
}

}  // namespace
}  // namespace skedlark::morse
