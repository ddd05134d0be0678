// Noise per frequency, as if neither tones nor crashes of static were there.
//
// Stage:   spectrum. In: power rows (any scale). Out: the mean noise power of each bin, same scale.
// Units:   those of the rows; with density rows, noise density in full scale squared per hertz.
// Shape:   bins values a row; the estimate is renewed every update_every_rows rows.
// Time:    looks back history_rows rows; a change of level has come through after half of them.
// Errors:  create() returns invalid_value; the rest cannot fail. Rows that are not finite or have
//          no power at all are skipped.
// Threads: one thread per instance; add() does not allocate.
// Source:  ordered statistics over time, then over neighbouring bins; the mean of an exponential
//          variable from its r-th of n ordered values (David, Order Statistics). Rows that are
//          louder all over the band than most (crashes) are left out.
// Checked: tests/dsp/spectrum/noise_floor_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::spectrum {

struct NoiseFloorConfig {
    int bins = 257;              // 8 to 65536
    int history_rows = 128;      // 8 to 1024
    int neighbour_bins = 10;     // each side, 1 to 1000; a tone must cover under a third of them
    int update_every_rows = 16;  // 1 to 1024
};

class NoiseFloor {
 public:
    [[nodiscard]] static Result<NoiseFloor> create(const NoiseFloorConfig& config);

    // True when the estimate was renewed.
    bool add(std::span<const float> power_row) noexcept;
    [[nodiscard]] bool ready() const noexcept { return ready_; }
    // Mean noise of each bin, tones and static taken out.
    [[nodiscard]] std::span<const float> density() const noexcept { return density_; }
    // The same before smoothing over neighbours: steady tones still stand in it.
    [[nodiscard]] std::span<const float> bin_level() const noexcept { return level_; }
    // Noise at a fractional bin where a tone stands: from the bins on both sides, between
    // exclude_bins and reach_bins away; where the sides differ (edge of a filter), the quiet
    // moments of the bin itself decide between them.
    [[nodiscard]] double beside(double bin, int exclude_bins, int reach_bins) const noexcept;
    void reset() noexcept;

 private:
    explicit NoiseFloor(const NoiseFloorConfig& config);
    void update() noexcept;
    void find_reference() noexcept;
    void choose_rows() noexcept;
    void smooth_over_neighbours() noexcept;
    [[nodiscard]] double side(int from_bin, int to_bin) const noexcept;

    NoiseFloorConfig config_;
    std::vector<float> rows_;  // history, one bin's values together
    std::vector<float> reference_, level_, quiet_, density_;
    std::vector<float> row_level_;
    std::vector<int> kept_;
    mutable std::vector<float> scratch_;
    int next_row_ = 0;
    int row_count_ = 0;
    int since_update_ = 0;
    bool ready_ = false;
};

}  // namespace skedlark::spectrum
