// One octave of the dial's pace: looks and paths made for it, and what noise alone gives there.
//
// Stage:   tone. In: work-rate audio. Out: the best paths of a stretch of time, with their odds.
// Units:   seconds, hertz; scores of glide_path.h.
// Shape:   any number of samples a call.
// Time:    seconds from the first sample; rows come in batches of up to batch_s().
// Errors:  none; settings are the caller's.
// Threads: one thread per instance; process() may allocate.
// Source:  paths from noise alone above a score s come noise_per_hour exp(-slope s) times an hour:
//          the extremes of sums restarted at zero (Karlin and Altschul, PNAS 87, 1990); both figures
//          measured on noise by tests/accuracy/glide/glide_tails.
// Checked: tests/dsp/tone/glide_finder_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/tone/glide_looks.h"
#include "dsp/tone/glide_path.h"

namespace skedlark::tone {

// The octaves there are, by their slowest pace, hertz a second.
[[nodiscard]] std::span<const double> glide_octaves();

class GlideScale {
 public:
    GlideScale(double low_hz, double high_hz, std::size_t octave);

    void process(std::span<const float> audio);
    void finish();
    [[nodiscard]] double known_until_s() const;  // rows are there for all times before
    [[nodiscard]] double batch_s() const;

    // Best score of a path ending between the two times, nothing masked.
    [[nodiscard]] double best_score(double from_s, double to_s) const;
    [[nodiscard]] GlideMask make_mask(double from_s, double to_s) const;
    [[nodiscard]] GlidePath best_path(double from_s, double to_s, const GlideMask& mask);
    void forget_before(double at_s);

    [[nodiscard]] double false_per_hour(double score) const;
    [[nodiscard]] const GlideLooks& looks() const { return looks_; }
    [[nodiscard]] double rate_hz_per_s(int rate) const { return paths_.rate_hz_per_s(rate); }

 private:
    [[nodiscard]] std::int64_t row_at(double at_s) const;  // the first at or after

    std::size_t octave_;
    double span_;  // of the band against the one the figures were measured in
    GlideLooks looks_;
    GlidePaths paths_;
    std::vector<double> best_;  // of each row from first_best_ on
    std::int64_t first_best_ = 0;
    std::int64_t next_row_ = 0;
};

}  // namespace skedlark::tone
