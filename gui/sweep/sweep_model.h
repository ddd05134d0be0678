// What the Sweep page says, in words and figures.
//
// Stage:   gui/sweep, no Qt. In: snapshots of the sweep and of the way back. Out: texts, shapes.
// Units:   as the texts say.
// Shape:   pure functions.
// Time:    none.
// Errors:  none; what went wrong is in the texts.
// Threads: none.
// Source:  none
// Checked: tests/desk/sweep/sweep_model_test.cpp
#pragma once

#include <string>
#include <vector>

#include "gui/sweep/sweep_user.h"
#include "gui/sweep/zero_in_user.h"

namespace skedlark::gui {

// What the pace light shows: an empty ring, a filled one where the dial passes a division, a bar where
// it rests, a square where all is done.
enum class PaceShape { ring, filled, rest, done };

struct PaceView {
    PaceShape shape = PaceShape::ring;
    std::string figures{};  // "42.7", large
    std::string words{};    // "the dial should be here"
    std::string beside{};   // "0:23 of 1:30"
};
[[nodiscard]] PaceView pace_view(const SweepState& state, const SweepSetup& setup);

struct StationRow {
    std::string number{}, div{}, interval{}, mhz{}, kind{}, snr_db{}, odds{}, call{};
    bool best = false;  // to go back to
    double at_div = 0.0;
};
[[nodiscard]] std::vector<StationRow> station_rows(const SweepState& state);
[[nodiscard]] std::string kind_of(const watch::SweepStation& station);
// The whole row for a screen reader and for the line at the foot.
[[nodiscard]] std::string in_words(const StationRow& row);

// "Sweep next: 42.31 to 43.10 at 2.4 div/min (0.8 kHz/s), 25 s. It would find it in 31 of 100."
[[nodiscard]] std::string next_words(const SweepState& state, const dial::Dial& dial);
// "So far a sweep would have found it in 64 of 100. Likeliest 42.81, with 95 % from 41.2 to 43.9."
[[nodiscard]] std::string map_words(const SweepState& state);
[[nodiscard]] std::string state_words(const SweepState& state, const SweepSetup& setup);

struct ZeroInView {
    std::string action{};  // "turn up", "there"
    std::string figure{};  // "0.034 div"
    std::string pitch{};   // "823 Hz, wanted 700"
    std::string note{};
    int turn = 0;  // which way a triangle points: 1 up, -1 down, 0 none
    bool there = false;
};
[[nodiscard]] ZeroInView zero_in_view(const ZeroInState& state);

}  // namespace skedlark::gui
