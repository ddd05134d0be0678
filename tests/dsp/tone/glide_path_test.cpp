#include "dsp/tone/glide_path.h"

#include <gtest/gtest.h>

#include "tests/dsp/tone/glide_signal.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

GlideLooksConfig looks_config() { return {3000.0, 0.1, {800.0, 1000.0, 1250.0}}; }
GlidePathConfig path_config() {
    return {.low_hz = 200.0, .rates_hz_per_s = {800.0, 1000.0, 1250.0}, .rates_per_look = 1};
}

TEST(GlidePaths, FollowTheWholeV) {
    std::mt19937_64 random(support::test_seed(51));
    const GlideSignal signal;
    GlideLooks looks(looks_config());
    looks.process(make_glide(signal, random));
    looks.finish();
    GlidePaths paths(path_config(), looks);
    const GlideMask mask(0, looks.end_row(), looks.cells());
    const GlidePath path = paths.trace(looks, 0, looks.end_row(), mask);
    ASSERT_GT(path.points.size(), 80U);
    EXPECT_GT(path.score, 100.0);
    int close = 0;
    for (const GlidePoint& point : path.points) {
        const double pitch_hz =
            signal.rate_hz_per_s * (signal.zero_beat_s - looks.row_centre_s(point.row));
        close += std::abs(point.cell * looks.cell_hz() - pitch_hz) < 20.0 ? 1 : 0;
    }
    EXPECT_GT(close, static_cast<int>(path.points.size()) * 9 / 10);
    EXPECT_GT(path.points.front().cell, 0);
    EXPECT_LT(path.points.back().cell, 0);
    // Row by row the best score grows to the same.
    double most = 0.0;
    for (std::int64_t row = 0; row < looks.end_row(); ++row)
        most = std::max(most, paths.advance(looks, row));
    EXPECT_NEAR(most, path.score, 1e-3);
}

TEST(GlidePaths, WhatIsMaskedIsNotFoundAgain) {
    std::mt19937_64 random(support::test_seed(53));
    GlideLooks looks(looks_config());
    looks.process(make_glide({}, random));
    looks.finish();
    GlidePaths paths(path_config(), looks);
    GlideMask mask(0, looks.end_row(), looks.cells());
    const GlidePath first = paths.trace(looks, 0, looks.end_row(), mask);
    for (const GlidePoint& point : first.points) mask.take(point.row, point.cell, 12);
    EXPECT_TRUE(mask.taken(first.points[10].row, -first.points[10].cell));
    const GlidePath second = paths.trace(looks, 0, looks.end_row(), mask);
    EXPECT_LT(second.score, 0.2 * first.score);
}

// What is kept from one trace to the next may not show: every window and mask as if traced first.
TEST(GlidePaths, EarlierTracesDoNotShow) {
    std::mt19937_64 random(support::test_seed(55));
    GlideLooks looks(looks_config());
    looks.process(make_glide({}, random));
    looks.finish();
    GlidePaths kept(path_config(), looks);
    std::uniform_int_distribution<std::int64_t> row(0, looks.end_row());
    std::uniform_int_distribution<int> cell(-looks.cells(), looks.cells());
    for (int round = 0; round < 60; ++round) {
        const std::int64_t first = row(random);
        const std::int64_t end = std::min(looks.end_row(), first + row(random));
        GlideMask mask(first, end, looks.cells());
        for (int pass = 0; pass < 3 && end > first; ++pass) {
            const GlidePath again = kept.trace(looks, first, end, mask);
            const GlidePath fresh = GlidePaths(path_config(), looks).trace(looks, first, end, mask);
            ASSERT_EQ(again.score, fresh.score) << round << ' ' << pass;
            ASSERT_EQ(again.points.size(), fresh.points.size());
            for (std::size_t k = 0; k < fresh.points.size(); ++k) {
                EXPECT_EQ(again.points[k].row, fresh.points[k].row);
                EXPECT_EQ(again.points[k].cell, fresh.points[k].cell);
                EXPECT_EQ(again.points[k].rate, fresh.points[k].rate);
            }
            for (const GlidePoint& point : fresh.points)
                if (round % 2 == 0) mask.take(point.row, point.cell, 5);
            mask.take(row(random), cell(random), 30);
        }
    }
}

TEST(GlidePaths, ScoresRiseWithThePower) {
    GlideLooks looks(looks_config());
    GlidePaths paths(path_config(), looks);
    for (int step = 1; step < 256; ++step)
        ASSERT_GE(paths.look_score(static_cast<std::uint8_t>(step)),
                  paths.look_score(static_cast<std::uint8_t>(step - 1)));
    // Power as of noise speaks against a mark, but not for ever: it may be a gap.
    EXPECT_LT(paths.look_score(0), 0.0F);
    EXPECT_GT(paths.look_score(0), static_cast<float>(std::log(0.5)) - 0.01F);
}

}  // namespace
}  // namespace skedlark::tone
