#include "dsp/bench/picture.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "tests/dsp/bench/test_tone.h"

namespace skedlark::bench {
namespace {

DrawnPoint highest(const DrawnCurve& curve) {
    return *std::max_element(curve.points.begin(), curve.points.end(),
                             [](const auto& a, const auto& b) { return a.y < b.y; });
}

// A sine of peak 0.3 stands at 20 lg 0.3 = -10.46 dBFS; Hann's scalloping takes at most 1.42 dB (Harris 1978).
TEST(Picture, TheSpectrumShowsALineAtItsLevel) {
    const auto audio = test::made({.seconds = 6.0, .amplitude = 0.3, .pitch_hz = 702.0});
    const Picture picture = spectrum_picture(audio, 8000.0);
    ASSERT_EQ(picture.curves.size(), 1U);
    const DrawnPoint top = highest(picture.curves[0]);
    EXPECT_NEAR(top.x, 702.0, 4.1);
    EXPECT_LE(top.y, -10.4);
    EXPECT_GE(top.y, -10.46 - 1.45);
    EXPECT_LE(picture.curves[0].points.size(), kMostDrawn);
    EXPECT_TRUE(spectrum_picture(std::span(audio).first(1000), 8000.0).empty()) << "too short yet";
    EXPECT_TRUE(spectrum_picture({}, 8000.0).empty());
}

TEST(Picture, TheLevelFollowsTimeAndStandsAtTheFloorInSilence) {
    auto audio = test::made({.seconds = 2.0, .amplitude = 0.1});
    audio.resize(audio.size() * 2);
    const Picture picture = level_picture(audio, 8000.0);
    for (const DrawnPoint& p : picture.curves[0].points) {
        if (p.x > 0.1 && p.x < 1.9) {
            EXPECT_NEAR(p.y, -20.0, 0.6);
        }
        if (p.x > 2.1) {
            EXPECT_EQ(p.y, -140.0);
        }
    }
    EXPECT_TRUE(level_picture({}, 8000.0).empty());
}

TEST(Picture, ThinningKeepsTheExtremesInTheirOrder) {
    std::vector<DrawnPoint> points;
    for (int i = 0; i < 10000; ++i) points.push_back({double(i), i == 5001 ? 9.0 : 0.01 * (i % 7)});
    points[7003].y = -9.0;
    const auto few = thinned(points, 100);
    EXPECT_LE(few.size(), 100U);
    EXPECT_TRUE(std::any_of(few.begin(), few.end(), [](const auto& p) { return p.y == 9.0; }));
    EXPECT_TRUE(std::any_of(few.begin(), few.end(), [](const auto& p) { return p.y == -9.0; }));
    EXPECT_TRUE(std::is_sorted(few.begin(), few.end(),
                               [](const auto& a, const auto& b) { return a.x < b.x; }));
    EXPECT_EQ(thinned(std::vector<DrawnPoint>{{1.0, 2.0}}).size(), 1U);
}

TEST(Picture, CurvesAreDrawnAgainstTheirFirstPoint) {
    PitchCurve curve;
    curve.add_none();
    for (int i = 0; i < 3; ++i) {
        PitchSecond second;
        second.pitch_hz = 700.0 + i;
        curve.add(second);
    }
    const Picture picture = drift_picture(curve);
    ASSERT_EQ(picture.curves[0].points.size(), 3U);
    EXPECT_EQ(picture.curves[0].points[0].x, 1.5);
    EXPECT_EQ(picture.curves[0].points[0].y, 0.0);
    EXPECT_EQ(picture.curves[0].points[2].y, 2.0);
    EXPECT_EQ(run_down_picture(curve).y_name, "dB since the start");
    EXPECT_TRUE(drift_picture(PitchCurve()).empty());
}

TEST(Picture, ResultsAsTheyAre) {
    HumFigures hum;
    hum.audio.lines = {{2, 100.0, 0.5e-4, 0.0}};
    EXPECT_NEAR(hum_picture(hum).curves[0].points[0].y, -40.0, 1e-9);
    Contacts contacts;
    contacts.events = {{ContactKind::dropout, 1.0, 0.01, {20.0, 1.0}, true},
                       {ContactKind::crackle, 2.0, 0.01, {9.0, 1.0}, false}};
    const Picture moved = contacts_picture(contacts);
    EXPECT_EQ(moved.curves[0].points[0].y, -20.0);
    EXPECT_EQ(moved.curves[1].points[0].y, 9.0);
    // 26.06 dB over the noise, decay 50 ms: back in the noise after 3 decay times (20 lg e = 8.686 dB each).
    Ring ring;
    Tap tap;
    tap.at_s = 1.0;
    tap.over_noise_db = 3.0 * 8.685889638;
    tap.modes.push_back({});
    tap.modes[0].rate_per_s = 20.0;
    ring.taps = {tap};
    EXPECT_NEAR(taps_picture(ring).curves[0].points[1].x, 150.0, 1e-6);
    const std::vector<ResponsePoint> response{{.offset_hz = 800.0, .level_db = {-3.0, 0.1}},
                                              {.offset_hz = 500.0, .level_db = {2.0, 0.1}}};
    const Picture curve = response_picture(response);
    EXPECT_EQ(curve.curves[0].points[0].x, 500.0);
    EXPECT_EQ(curve.curves[0].points[1].y, -5.0);
    DialCheck dial;
    dial.points = {{{5.0, 56.4, Approach::from_below}, 56.0, {0.4, 0.1}, 1.0, {0.1, 0.1}, true}};
    EXPECT_EQ(dial_picture(dial).curves[0].points[0].y, 0.4);
    EXPECT_EQ(dial_picture(dial).curves[1].points[0].y, 0.1);
}

}  // namespace
}  // namespace skedlark::bench
