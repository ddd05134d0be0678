// Searches long spectra for lines, along straight tracks of every small drift at once.
//
// Stage:   tone. In: audio weighed by its static factor, noise density. Out: lines that noise would
//          not give more often than allowed.
// Units:   hertz; ratio is power over mean noise power in a cell.
// Shape:   a row of the spectrum each hop; sums over the last 1, 2, 4, ... rows, each with its
//          threshold.
// Time:    pitch_hz holds for the middle of the newest row.
// Errors:  create() returns invalid_value; push() cannot fail.
// Threads: one thread per instance; push() allocates only where candidates grow.
// Source:  square-law sum over windows; sums along all slopes by pairwise doubling (Taylor, Astron.
//          Astrophys. Suppl. 15, 1974). Under noise the sum of overlapping Hann rows is close to a
//          gamma variable of the same mean and variance; how many independent trials an hour holds
//          was measured on noise: line_search_test.cpp.
// Checked: tests/dsp/tone/line_search_test.cpp
#pragma once

#include <span>
#include <utility>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/core/units.h"
#include "dsp/spectrum/real_fft.h"

namespace skedlark::tone {

struct LineSearchConfig {
    double low_hz = 200.0;    // 20 to below high_hz
    double high_hz = 3000.0;  // above low_hz, to 3980
    int window = 36000;       // samples of a row, 256 to 65536
    int hop = 17600;          // samples from row to row, 1 to window
    int transform = 65536;    // padded size, window to 2^20
    int levels = 5;           // sums over up to 2^(levels - 1) rows; 1 to 7
    int first_level = 0;      // sums below this level are made but not looked at; below levels
    double max_rate_hz_per_s = 0.02;   // drift followed, either sign
    double false_alarms_per_hour = 1;  // above 0; shared evenly by the levels looked at
};

struct LineCandidate {
    double pitch_hz = 0.0;
    double rate_hz_per_s = 0.0;
    double carrier_power = 0.0;            // mean square, full scale squared
    double ratio = 0.0;                    // mean over the rows of the sum; noise alone: 1
    int rows = 0;                          // in the sum
    int level = 0;                         // rows = 2^level
    double exponent = 0.0;                 // about minus the logarithm of its chance under noise
    double expected_false_per_hour = 0.0;  // as clear as this from noise alone
};

class LineSearch {
 public:
    [[nodiscard]] static Result<LineSearch> create(const LineSearchConfig& config);

    // weights: one over the static factor of each sample; at most samples_to_row() of them. True
    // when a row became complete.
    bool push(std::span<const float> samples, std::span<const float> weights,
              std::span<const float> density, double density_bin_hz);
    [[nodiscard]] std::size_t samples_to_row() const {  // at least 1
        return static_cast<std::size_t>(next_row_at_ - count_);
    }
    // Found in the newest row, strongest first; one for each line, side bands not yet taken off.
    [[nodiscard]] const std::vector<LineCandidate>& candidates() const { return candidates_; }
    // Mean ratio over the last rows within reach_hz of a pitch, following rate; 0 before any row.
    [[nodiscard]] double ratio_near(double pitch_hz, double rate_hz_per_s, double reach_hz,
                                    int rows) const;
    // Chance that noise gives a mean ratio as high as this over so many rows in one cell.
    [[nodiscard]] double noise_chance(double ratio, int rows) const;
    [[nodiscard]] int rows_seen() const { return rows_seen_; }
    [[nodiscard]] double window_s() const { return config_.window / kWorkRateHz; }
    [[nodiscard]] double hop_s() const { return config_.hop / kWorkRateHz; }
    [[nodiscard]] double trials_per_hour(int level) const;
    void reset();

 private:
    [[nodiscard]] int levels_looked_at() const { return config_.levels - config_.first_level; }
    LineSearch(const LineSearchConfig& config, spectrum::RealFft fft);
    void make_row(std::span<const float> density, double density_bin_hz);
    double load_window();  // into the transform; returns the sum of weight times window squared
    void divide_by_noise(std::span<const float> density, double density_bin_hz,
                         std::span<float> row);
    void level_out(std::span<float> row);
    void sum_tracks();
    void collect(int level, int slope, int sign, std::span<const float> sums);
    void add_candidate(int level, int slope, int sign, std::span<const float> sums, int cell);
    void merge_candidates();
    // Whether the track comes within a line's width of that of a candidate kept.
    [[nodiscard]] bool meets_kept(const LineCandidate& candidate) const;
    [[nodiscard]] double gamma_shape(int rows) const;
    // Sums of one level, sign and slope that end at the newest row or `back` rows before it.
    [[nodiscard]] std::span<float> sums(int level, int sign, int slope, int back);
    [[nodiscard]] std::span<const float> past_row(int back) const;

    LineSearchConfig config_;
    spectrum::RealFft fft_;
    std::vector<float> window_, audio_, weights_;
    std::vector<std::vector<float>> store_;  // by level: ring of rows x signs x slopes x cells
    std::vector<int> slopes_;                // of each level
    std::vector<float> thresholds_;          // of each level, on the sum
    std::vector<float> noise_;               // density that the newest row was divided by
    std::vector<float> block_medians_, scratch_;
    std::vector<LineCandidate> candidates_, all_candidates_;
    std::vector<std::pair<double, std::size_t>> by_exponent_;  // each with its place among all
    std::vector<double> kept_hz_;                              // pitch of each of candidates_
    double fastest_hz_per_s_ = 0.0;                            // of all candidates
    double cell_hz_;
    int first_cell_, cells_;
    double line_hz_ = 0.0;    // width of a line
    std::size_t oldest_ = 0;  // in audio_
    FrameIndex count_ = 0;
    FrameIndex next_row_at_ = 0;  // the count that makes it complete
    int rows_seen_ = 0;
    double enbw_bins_ = 1.5;
    double row_correlation_ = 0.0;  // of the power of neighbouring rows under noise
};

}  // namespace skedlark::tone
