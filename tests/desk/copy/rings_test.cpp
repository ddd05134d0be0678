// What is kept of picture and audio: the last ten minutes, whatever came before.
#include <gtest/gtest.h>

#include <array>
#include <cmath>
#include <limits>

#include "gui/copy/audio_ring.h"
#include "gui/copy/row_ring.h"
#include "tests/support/allocations.h"

namespace skedlark::gui {
namespace {

TEST(AudioRing, GivesBackWhatItKeepsWithinHalfAStepOfSixteenBits) {
    AudioRing ring(1000);
    ring.start(500);
    std::vector<float> audio;
    for (int i = 0; i < 2500; ++i) audio.push_back(static_cast<float>(std::sin(0.1 * i)));
    ring.add(std::span(audio).first(700));
    ring.add(std::span(audio).subspan(700));
    EXPECT_EQ(ring.begin_frame(), 2000);
    EXPECT_EQ(ring.end_frame(), 3000);
    const auto kept = ring.stretch(0, 10'000);
    ASSERT_EQ(kept.size(), 1000U);
    for (std::size_t i = 0; i < kept.size(); ++i) {
        EXPECT_NEAR(kept[i], audio[1500 + i], 0.51 / 32767.0);
    }
    EXPECT_TRUE(ring.stretch(0, 2000).empty());
}

TEST(AudioRing, WhatIsNoNumberOrTooLoudDoesNoHarm) {
    AudioRing ring(10);
    ring.add(std::array{std::numeric_limits<float>::quiet_NaN(), 7.0F, -7.0F});
    EXPECT_EQ(ring.stretch(0, 3), (std::vector<float>{0.0F, 1.0F, -1.0F}));
}

TEST(RowRing, KeepsTheLastRowsAndFindsThemByTime) {
    RowRing ring(4, 2);
    for (int row = 0; row < 10; ++row) {
        const auto value = static_cast<std::uint8_t>(row);
        ring.add({row * 256, 700.0F, 120.0F}, std::array{value, value});
    }
    EXPECT_EQ(ring.begin_row(), 6);
    EXPECT_EQ(ring.end_row(), 10);
    EXPECT_EQ(ring.bytes(7)[1], 7);
    EXPECT_EQ(ring.row_at(0), 6);
    EXPECT_EQ(ring.row_at(7 * 256), 7);
    EXPECT_EQ(ring.row_at(7 * 256 + 1), 8);
    EXPECT_EQ(ring.row_at(99 * 256), 10);
    ring.clear();
    EXPECT_EQ(ring.begin_row(), ring.end_row());
}

TEST(RowRing, NoiseIsPaperAndAStrongToneFullInk) {
    EXPECT_EQ(byte_of_db(0.0F), 0);
    EXPECT_EQ(byte_of_db(-200.0F), 0);
    EXPECT_EQ(byte_of_db(static_cast<float>(kFullDb)), 255);
    EXPECT_EQ(byte_of_db(60.0F), 255);
    EXPECT_EQ(byte_of_db(static_cast<float>(0.5 * (kPaperDb + kFullDb))), 128);
}

TEST(Rings, TakeNoMemoryWhileTheyRun) {
    AudioRing audio;
    RowRing rows;
    const std::vector<float> block(400, 0.1F);
    const std::vector<std::uint8_t> row(kRowPoints, 9);
    const support::AllocationCount before;
    for (int i = 0; i < 20'000; ++i) {
        audio.add(block);
        rows.add({i * 256, 700.0F, 120.0F}, row);
    }
    EXPECT_EQ(before.made(), 0);
    EXPECT_EQ(audio.end_frame() - audio.begin_frame(), 600 * 8000);
    EXPECT_NEAR(static_cast<double>(rows.end_row() - rows.begin_row()) * kRowHopS, 600.0, 0.1);
}

}  // namespace
}  // namespace skedlark::gui
