// Lines at a supply frequency and its multiples: the frequency is measured, not assumed.
//
// Stage:   bench, inside of hum_figures.h. In: audio, or a tone's modulation as samples. Out: SupplyLines.
// Units:   powers of mean square of the samples; hertz.
// Shape:   one call a recording of kLeastHumS and more.
// Time:    the frequency is that in the middle; it may drift evenly. Powers are means of stretches of
//          about 5 s, so that slower wander does not count.
// Errors:  invalid_value: too short. No supply is an empty list.
// Threads: pure.
// Source:  comb search over the periodogram by limited log ratios of line to noise; then the strongest
//          line by the five-parameter fit of sine_fit.h; EN 50160 lets 50 Hz mains move by 1 % (from
//          memory), generators and railways by more.
// Checked: tests/dsp/bench/supply_lines_test.cpp, rectified sines in closed form.
#pragma once

#include <functional>
#include <span>
#include <vector>

#include "dsp/bench/band.h"
#include "dsp/bench/figure.h"
#include "dsp/core/result.h"

namespace skedlark::bench {

inline constexpr double kLeastHumS = 5.0;

struct SupplyLine {
    int order = 1;
    double frequency_hz = 0.0;
    double power = 0.0;     // noise taken off
    double power_95 = 0.0;  // half-width
};
struct SupplyLines {
    Figure supply_hz{};
    double drift_hz_per_s = 0.0;
    std::vector<SupplyLine> lines{};  // those that stand out, lowest first; empty: no supply found
    double least_power = 0.0;         // a line below this would not have been told from noise

    [[nodiscard]] double power() const;
    [[nodiscard]] double power_95() const;
    [[nodiscard]] double power_of(int order) const;  // 0 where it does not stand out
};

struct SupplySearch {
    double from_hz = 24.0;
    double to_hz = 66.0;
    double highest_hz = 650.0;  // of the lines
    int highest_order = 16;
    std::function<bool(double)> skip{};  // frequencies that something else may hold
};

[[nodiscard]] Result<SupplyLines> find_supply(std::span<const float> samples, double rate_hz,
                                              const SupplySearch& search);
// The frequency is known from elsewhere.
[[nodiscard]] Result<SupplyLines> lines_of_supply(std::span<const float> samples, double rate_hz,
                                                  const SupplySearch& search,
                                                  const SupplyLines& supply);
// The samples less those lines, stretch by stretch.
[[nodiscard]] std::vector<float> without_lines(std::span<const float> samples, double rate_hz,
                                               const SupplyLines& supply);

// How well combs of lines explain a spectrum: the log ratio of each line to its noise, limited, so that
// one strong line does not outweigh many.
class CombScore {
 public:
    CombScore(const Periodogram& spectrum, const SupplySearch& search);
    // Below 0 where no low multiple of hz stands out.
    [[nodiscard]] double of(double hz, int highest_order) const;

 private:
    std::vector<float> log_ratio_;  // by bin
    double bin_hz_;
    const SupplySearch& search_;
};

}  // namespace skedlark::bench
