// Follows a pitch by a hidden Markov filter over frequency cells and three rates of wander at once.
//
// Stage:   tone. In: power over noise per cell (pitch_evidence.h), one row a step. Out: the pitch.
// Units:   hertz; cells of kEvidenceCellHz; a step is kPitchStep work-rate samples.
// Shape:   one row a step; cells within kGridReach of the middle are looked at.
// Time:    the estimate holds for the middle of the row's audio.
// Errors:  none.
// Threads: one thread per instance; step() does not allocate.
// Source:  Streit and Barrett, Frequency line tracking using hidden Markov models, IEEE Trans. ASSP
//          38 (1990); the mixture of wander rates as in a jump Markov system: the data choose the
//          rate. A key is open half the time, so a row may hold no tone: on-off mixture, unknown
//          level.
// Checked: tests/dsp/tone/pitch_grid_test.cpp
#pragma once

#include <array>
#include <span>
#include <vector>

#include "dsp/tone/pitch_evidence.h"

namespace skedlark::tone {

inline constexpr int kPitchStep = 800;
inline constexpr int kGridReach = 128;  // cells each side of the middle: 62 Hz
inline constexpr int kWanderRates = 3;

// Logarithm of how much likelier a ratio is with a tone of unknown level in it than without.
[[nodiscard]] double tone_log_ratio(double ratio);

class PitchGrid {
 public:
    PitchGrid(double start_hz, double start_error_hz);
    // ratio: the evidence of all cells; those around middle_cell() are read.
    void step(std::span<const float> ratio) noexcept;
    // Starts again around another pitch, keeping what is known of the wander.
    void jump_to(double hz, double error_hz) noexcept;

    [[nodiscard]] double pitch_hz() const noexcept { return pitch_hz_; }
    [[nodiscard]] double spread_hz() const noexcept { return spread_hz_; }
    // Chance that the tone is there at all (keyed within the last second or so).
    [[nodiscard]] double presence() const noexcept { return presence_; }
    [[nodiscard]] int middle_cell() const noexcept { return middle_cell_; }
    [[nodiscard]] std::array<double, kWanderRates> rate_odds() const noexcept;

 private:
    static constexpr int kCells = 2 * kGridReach + 1;
    using Row = std::vector<double>;
    void predict() noexcept;
    void strongest_near() noexcept;
    void weigh(std::span<const float> ratio) noexcept;
    void read_out() noexcept;
    void recentre() noexcept;

    std::array<Row, kWanderRates> mass_;
    Row scratch_, gain_;
    std::vector<float> near_;  // of each cell, the largest ratio around it
    int middle_cell_ = 0;
    double pitch_hz_ = 0.0;
    double spread_hz_ = 0.0;
    double presence_ = 0.5;
};

}  // namespace skedlark::tone
