#include "gui/sweep/sweep_model.h"

#include <gtest/gtest.h>

namespace skedlark::gui {
namespace {

SweepState turning(double div, double heard_s) {
    SweepState state;
    state.phase = SweepPhase::turning;
    state.dial_div = div;
    state.heard_s = heard_s;
    state.whole_s = 60.0;
    return state;
}

TEST(SweepModel, SaysWhereTheDialShouldBe) {
    const SweepSetup setup{.from_div = 42.0, .to_div = 44.0};
    const PaceView passing = pace_view(turning(43.005, 30.2), setup);
    EXPECT_EQ(passing.figures, "43.0");
    EXPECT_EQ(passing.shape, PaceShape::filled);
    EXPECT_EQ(passing.beside, "0:30 of 1:00");
    EXPECT_EQ(pace_view(turning(43.4, 42.0), setup).shape, PaceShape::ring);
    // Downwards a division is passed from above.
    const SweepSetup down{.from_div = 44.0, .to_div = 42.0};
    EXPECT_EQ(pace_view(turning(42.995, 30.2), down).shape, PaceShape::filled);
    EXPECT_EQ(pace_view(turning(43.005, 29.8), down).shape, PaceShape::ring);
}

TEST(SweepModel, CountsInRestsAndAsksForMarks) {
    SweepState state = turning(42.2, 12.0);
    SweepSetup setup{.way = DialWay::stepped, .from_div = 42.0, .to_div = 44.0};
    state.resting = true;
    state.change_in_s = 3.2;
    EXPECT_EQ(pace_view(state, setup).words, "rest here, 4 s more");
    EXPECT_EQ(pace_view(state, setup).shape, PaceShape::rest);
    state.resting = false;
    EXPECT_EQ(pace_view(state, setup).words, "turn on to");
    setup.way = DialWay::marked;
    state.next_mark_div = 43.0;
    state.marked_div_per_min = 2.14;
    EXPECT_EQ(pace_view(state, setup).figures, "43");
    EXPECT_EQ(pace_view(state, setup).beside, "0:12, 2.1 div/min");
    state.phase = SweepPhase::counting_in;
    state.count_in_left_s = 2.3;
    EXPECT_EQ(pace_view(state, setup).figures, "3");
    state.phase = SweepPhase::over;
    EXPECT_EQ(state_words(state, setup),
              "Over: fewer than two marks, so nothing can be placed on the dial.");
}

TEST(SweepModel, StationsInWordsAndFigures) {
    SweepState state = turning(44.0, 60.0);
    state.stations.push_back({.div = 42.814,
                              .low95_div = 42.6,
                              .high95_div = 43.0,
                              .mhz = 3.79845,
                              .keyed = true,
                              .snr_2500hz_db = -12.6,
                              .false_alarm_odds = 0.004});
    state.stations.push_back({.div = 43.2, .keyed = false});
    state.stations.push_back({.div = 43.3, .broadcast = true});
    state.stations.push_back({.div = 43.4, .false_alarm_odds = 1e-9});
    state.stations[0].expected_call = watch::CallHeard{"QXB2", 0.93};
    state.go_back = 0;
    const auto rows = station_rows(state);
    ASSERT_EQ(rows.size(), 4U);
    EXPECT_EQ(rows[0].div, "42.81");
    EXPECT_EQ(rows[0].interval, "42.60 to 43.00");
    EXPECT_EQ(rows[0].kind, "keyed");
    EXPECT_EQ(rows[0].snr_db, "-13");
    EXPECT_EQ(rows[0].odds, "1 in 250");
    EXPECT_EQ(rows[0].call, "QXB2 93 %");
    EXPECT_TRUE(rows[0].best);
    EXPECT_EQ(rows[1].kind, "steady");
    EXPECT_EQ(rows[2].kind, "broadcast");
    EXPECT_EQ(rows[3].kind, "unknown");
    EXPECT_EQ(rows[3].odds, "under 1 in 10000");
    EXPECT_NE(in_words(rows[0]).find("best to go back to"), std::string::npos);
}

TEST(SweepModel, ZeroInIsReadFromTwoMetres) {
    ZeroInState state{.near_div = 42.8, .wanted_hz = 700.0};
    EXPECT_EQ(zero_in_view(state).action, "turn slowly");
    EXPECT_EQ(zero_in_view(state).figure, "near 42.80");
    state.advice = dial::ZeroInAdvice{823.0, 123.0, 0.0341, dial::Turn::up, true, false};
    ZeroInView view = zero_in_view(state);
    EXPECT_EQ(view.action, "turn up");
    EXPECT_EQ(view.figure, "0.034 div");
    EXPECT_EQ(view.pitch, "823 Hz, wanted 700");
    EXPECT_EQ(view.note, "123 Hz too high");
    EXPECT_EQ(view.turn, 1);
    state.advice->sure = false;
    state.advice->turn = dial::Turn::down;
    EXPECT_EQ(zero_in_view(state).action, "try down");
    EXPECT_EQ(zero_in_view(state).figure, "a little");
    state.advice->cross = true;
    EXPECT_EQ(zero_in_view(state).note, "through zero beat");
    state.advice = dial::ZeroInAdvice{712.0, 12.0, 0.0, dial::Turn::here, true, false};
    EXPECT_EQ(zero_in_view(state).action, "there");
    EXPECT_TRUE(zero_in_view(state).there);
    EXPECT_EQ(zero_in_view(state).turn, 0);
}

}  // namespace
}  // namespace skedlark::gui
