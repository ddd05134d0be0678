// The likeliest path of a station through rows of a sweep: down to zero beat and up again.
//
// Stage:   tone. In: rows of glide_looks.h. Out: best scores row by row; paths.
// Units:   cells of the looks; scores in nepers of likelihood against noise alone.
// Shape:   the pitch is given a sign: above the beat oscillator before zero beat, below it after,
//          so that a whole V is one path that only falls. Pitches below low_hz say nothing.
// Time:    rows of the looks.
// Errors:  none.
// Threads: one thread per instance; trace() allocates.
// Source:  dynamic programming over place and rate, started anew wherever that scores better (Smith
//          and Waterman, J. Mol. Biol. 147, 1981); a change of rate from row to row costs. A look's
//          score: mark or gap, as likely, against noise; a mark of the level that can just be found,
//         , and no look can score more than kMostScore.
// Checked: tests/dsp/tone/glide_path_test.cpp
#pragma once

#include <array>
#include <cstdint>
#include <vector>

#include "dsp/tone/glide_looks.h"

namespace skedlark::tone {

struct GlidePathConfig {
    double low_hz = 200.0;
    std::vector<double> rates_hz_per_s;  // of the paths, evenly spaced in their logarithm
    int rates_per_look = 2;              // so many neighbouring ones share a rate of the looks
};

struct GlidePoint {
    std::int64_t row = 0;
    int cell = 0;       // signed: above the beat oscillator or below
    int rate = 0;       // index
    float score = 0.0;  // of this look
};

struct GlidePath {
    double score = 0.0;
    std::vector<GlidePoint> points;  // in order of rows
};

// Cells of the rows that say nothing any more: already explained by a stronger station.
class GlideMask {
 public:
    GlideMask(std::int64_t first_row, std::int64_t end_row, int cells);
    void take(std::int64_t row, int cell, int reach);  // signed cell, reach to both sides
    [[nodiscard]] const std::uint8_t* row(std::int64_t row) const;  // cells from 0 on
    [[nodiscard]] bool taken(std::int64_t row, int cell) const;     // signed cell

 private:
    std::int64_t first_row_;
    std::int64_t end_row_;
    int cells_;
    std::vector<std::uint8_t> taken_;
};

class GlidePaths {
 public:
    GlidePaths(const GlidePathConfig& config, const GlideLooks& looks);

    // Best score of any path ending in this row; rows in order.
    double advance(const GlideLooks& looks, std::int64_t row);
    // The best path within rows, nothing masked in it; score 0 where there is none. What the last
    // trace found out about the same rows is used again as far as neither mask nor start change it.
    [[nodiscard]] GlidePath trace(const GlideLooks& looks, std::int64_t first_row,
                                  std::int64_t end_row, const GlideMask& mask);
    [[nodiscard]] float look_score(std::uint8_t steps) const { return scores_[steps]; }
    [[nodiscard]] double rate_hz_per_s(int rate) const {
        return config_.rates_hz_per_s[static_cast<std::size_t>(rate)];
    }
    static constexpr double kMostScore = 5.0;

 private:
    void score_row(const GlideLooks& looks, std::int64_t row, const GlideMask* mask);
    [[nodiscard]] int step_cells(std::int64_t row, int rate) const;
    [[nodiscard]] int rates() const { return static_cast<int>(config_.rates_hz_per_s.size()); }
    [[nodiscard]] std::size_t state_of(int rate, int place) const;
    // Fills a rate's states of this row from those before; returns the best of them.
    float step(const float* before, float* now, std::int64_t row, int rate) const;
    [[nodiscard]] float score_of(const GlideLooks& looks, std::int64_t row, int cell, int rate,
                                 const GlideMask& mask) const;

    GlidePathConfig config_;
    int cells_;
    int low_cell_;
    int width_;  // of the signed range
    int pad_;    // so that a step never leaves the array
    std::vector<double> steps_per_row_;
    std::array<float, 256> scores_{};
    std::vector<float> before_, now_;  // rate, signed cell
    std::vector<float> looks_;         // look rate, signed cell

    struct TracedRow {
        std::vector<float> states;  // rate, signed cell
        std::vector<std::uint8_t> taken;
        float most = 0.0F;
        int rate = 0;  // of the most
    };
    // Takes the row into the trace; false where it was known and is as it was.
    bool trace_row(const GlideLooks& looks, std::int64_t row, const GlideMask& mask, bool known);
    [[nodiscard]] TracedRow& traced(std::int64_t row) {
        return traced_[static_cast<std::size_t>(row) % traced_.size()];
    }
    [[nodiscard]] const std::vector<float>& states_before(std::int64_t row) {
        return row == traced_first_ ? nothing_ : traced(row - 1).states;
    }

    std::vector<TracedRow> traced_;  // a ring
    std::int64_t traced_first_ = 0;
    std::int64_t traced_end_ = 0;
    std::vector<float> nothing_;  // states before the first row
    std::vector<float> retraced_;
};

}  // namespace skedlark::tone
