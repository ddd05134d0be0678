// Short spectra of audio in which pitches glide, brought to rest for several rates at once.
//
// Stage:   tone. In: work-rate audio. Out: rows of power over noise for every rate, both ways.
// Units:   hertz, hertz a second; power over mean noise power in a cell, in steps of an eighth of an
//          octave: power_of_step().
// Shape:   a row each hop() samples; cells() cells of cell_hz() from 0 on, half a resolved cell
//          each. Any number of samples a call; the same rows for any split.
// Time:    a row holds for the middle of its window: row_centre_s(). Rows come in batches of
//          kBatchRows, whose noise is measured together.
// Errors:  none; settings are the caller's. Samples that are not finite count as 0.
// Threads: one thread per instance; process() allocates where the rows kept grow.
// Source:  a window times exp(-j pi rate t^2) makes a glide of that rate a line at its middle pitch;
//          of a real signal the negative frequencies hold the opposite rate. Noise of each cell: the
//          median over the batch (ln 2 of the mean of an exponential variable), so that what glides
//          through hardly moves it and what stands still goes into it; a row louder all over the
//          band than most (static) is scaled down.
// Checked: tests/dsp/tone/glide_looks_test.cpp
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "dsp/core/units.h"
#include "dsp/spectrum/real_fft.h"

namespace skedlark::tone {

enum class GlideWay { falling, rising };

struct GlideLooksConfig {
    double high_hz = 3000.0;
    double window_s = 0.1;
    std::vector<double> rates_hz_per_s;  // above 0
};

class GlideLooks {
 public:
    static constexpr int kBatchRows = 64;
    // Power over noise that a byte of a row stands for: 0.25 and less to 90 dB.
    [[nodiscard]] static double power_of_step(std::uint8_t step);

    explicit GlideLooks(const GlideLooksConfig& config);

    void process(std::span<const float> audio);
    // Completes the batch under way with what there is.
    void finish();

    [[nodiscard]] int rates() const { return static_cast<int>(config_.rates_hz_per_s.size()); }
    [[nodiscard]] int cells() const { return cells_; }
    [[nodiscard]] double cell_hz() const { return cell_hz_; }
    [[nodiscard]] double hop_s() const { return hop_ / kWorkRateHz; }
    [[nodiscard]] double row_centre_s(std::int64_t row) const {
        return (static_cast<double>(row) * hop_ + 0.5 * window_) / kWorkRateHz;
    }
    // Rows are kept from first_row() to below end_row().
    [[nodiscard]] std::int64_t first_row() const { return first_row_; }
    [[nodiscard]] std::int64_t end_row() const { return end_row_; }
    void forget_before(std::int64_t row);

    // Power over noise, as steps.
    [[nodiscard]] std::span<const std::uint8_t> row(std::int64_t row, int rate, GlideWay way) const;
    // Mean noise of a cell about a row, mean square full scale per hertz, static included.
    [[nodiscard]] double noise_density(std::int64_t row, int cell) const;
    // Harmonic mean over rows from .. below to and the cells from low_hz up; 0 where there was no
    // noise at all.
    [[nodiscard]] double mean_noise_density(std::int64_t from, std::int64_t to,
                                            double low_hz) const;

 private:
    struct Batch {
        std::vector<std::uint8_t> powers;  // row, rate, way, cell
        std::vector<float> floor;          // cell: mean noise power, unscaled
        std::vector<float> loudness;       // row: factor on the floor, at least 1
    };
    void make_row();
    void close_batch();
    void measure_floor(Batch& batch, int rows);
    void measure_loudness(Batch& batch, int rows);
    [[nodiscard]] float* raw(int row, int rate, GlideWay way);

    GlideLooksConfig config_;
    int window_;
    int hop_;
    int cells_;
    double cell_hz_;
    double density_scale_;
    spectrum::ComplexFft fft_;
    std::vector<std::vector<std::complex<float>>> chirps_;  // window times chirp, of each rate
    std::vector<float> ring_;
    std::int64_t count_ = 0;
    std::vector<float> raw_;  // of the batch under way
    int raw_rows_ = 0;
    std::vector<float> scratch_;
    std::vector<Batch> batches_;
    std::int64_t first_row_ = 0;
    std::int64_t end_row_ = 0;
};

}  // namespace skedlark::tone
