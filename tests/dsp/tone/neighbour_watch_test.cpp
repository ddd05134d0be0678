#include "dsp/tone/neighbour_watch.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>
#include <vector>

#include "dsp/tone/pitch_grid.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

constexpr double kPitchHz = 700.0;

struct Line {
    double beside_hz, ratio;  // while its key is down
};

// Rows of exponential noise cells of mean 1 (periodogram of white noise: Welch 1967) with lines of
// keyed stations in them, each down half of the time.
class Band {
 public:
    explicit Band(unsigned seed) : random_(support::test_seed(seed)) {}
    // one_key: all lines come and go together, as those of one station.
    void step(NeighbourWatch& watch, const std::vector<Line>& lines, bool one_key = false) {
        std::exponential_distribution<float> noise;
        std::vector<float> row(kEvidenceCells);
        for (float& cell : row) cell = noise(random_);
        std::bernoulli_distribution key;
        const bool down = key(random_);
        for (const Line& line : lines) {
            if (!(one_key ? down : key(random_))) continue;
            const auto cell = std::lround((kPitchHz + line.beside_hz) / kEvidenceCellHz);
            row[static_cast<std::size_t>(cell)] += static_cast<float>(line.ratio);
        }
        watch.step(row, kPitchHz);
    }
    void seconds(NeighbourWatch& watch, double s, const std::vector<Line>& lines) {
        for (int n = 0; n < static_cast<int>(s * kWorkRateHz / kPitchStep); ++n) step(watch, lines);
    }

 private:
    std::mt19937 random_;
};

TEST(NeighbourWatch, NoiseAloneAndALoneToneShutNothing) {
    Band band(71);
    NeighbourWatch watch;
    for (int n = 0; n < 3000; ++n) {
        band.step(watch, n < 1500 ? std::vector<Line>{} : std::vector<Line>{{0.0, 100.0}});
        ASSERT_EQ(watch.shut_from_hz(), 0.0) << n;
    }
}

TEST(NeighbourWatch, AStationAsStrongIsShutOutOnEitherSideAndForgotten) {
    for (const double beside_hz : {60.0, 100.0, -100.0, -140.0}) {
        Band band(72);
        NeighbourWatch watch;
        band.seconds(watch, 8.0, {{0.0, 100.0}, {beside_hz, 100.0}});
        EXPECT_NEAR(watch.shut_from_hz(), 0.9 * std::abs(beside_hz), 1.0) << beside_hz;
        band.seconds(watch, 20.0, {{0.0, 100.0}});
        EXPECT_EQ(watch.shut_from_hz(), 0.0) << beside_hz;
    }
}

// Before the wanted station sends, a neighbour must not be taken for it.
TEST(NeighbourWatch, IsKnownBeforeTheToneItselfSends) {
    Band band(73);
    NeighbourWatch watch;
    band.seconds(watch, 4.0, {{100.0, 100.0}});
    EXPECT_NEAR(watch.shut_from_hz(), 90.0, 1.0);
}

// Full hum on a note: side lines of half the amplitude (modulation of depth 1, closed form), a
// quarter of the power; a weak station is left to the usual filter.
TEST(NeighbourWatch, HumOnTheNoteIsNoNeighbour) {
    Band band(74);
    NeighbourWatch watch;
    for (int n = 0; n < 1000; ++n) {
        band.step(watch, {{0.0, 200.0}, {100.0, 50.0}, {-100.0, 50.0}, {140.0, 20.0}}, true);
        if (n > 100) {
            ASSERT_EQ(watch.shut_from_hz(), 0.0) << n;
        }
    }
}

// From 150 Hz on the usual filter takes 30 dB: only a much stronger station matters there.
TEST(NeighbourWatch, FarAwayOnlyAMuchStrongerOneMatters) {
    Band band(75);
    NeighbourWatch watch;
    band.seconds(watch, 8.0, {{0.0, 50.0}, {200.0, 200.0}});
    EXPECT_EQ(watch.shut_from_hz(), 0.0);
    band.seconds(watch, 8.0, {{0.0, 50.0}, {200.0, 5000.0}});
    EXPECT_EQ(watch.shut_from_hz(), 90.0);
}

}  // namespace
}  // namespace skedlark::tone
