// How the dial stands against its chart today, from stations whose frequency is known.
//
// Stage:   dial. In: chart, known stations with the division where each is at zero beat. Out: offset
//          and stretch with their covariance, and the stations that fit neither.
// Units:   divisions; stretch is a ratio.
// Shape:   one station gives an offset; a stretch about the middle of the chart is added, or a
//          station left out, only where that lowers the weighted sum of squares by more than its
//          price below.
// Time:    none.
// Errors:  invalid_value naming the station: outside the chart or the dial, not finite, or farther
//          off than a dial slips (a quarter of it, a stretch of a fifth): then it is another station.
// Threads: none.
// Source:  weighted least squares of a line; the prices are chi-square of one degree of freedom at
//          99 % for the stretch and at 99.9 % for leaving a station out.
// Checked: tests/dsp/dial/correction_test.cpp, against GSL
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "dsp/dial/chart.h"

namespace skedlark::dial {

struct KnownStation {
    double mhz = 0.0;
    double div = 0.0;  // where it is at zero beat
};

struct KnownFit {
    KnownStation station{};
    double chart_div = 0.0;     // where the chart has it
    double residual_div = 0.0;  // what the correction leaves
    double sds = 0.0;           // the same in standard deviations of such a residual
    bool fits = true;           // false: left out of the correction
};

struct Correction {
    double centre_div = 0.0;  // where the stretch does nothing
    double offset_div = 0.0;
    double stretch = 0.0;  // 0.01: divisions are one per cent wider than on the chart
    double offset_variance = 0.0;
    double stretch_variance = 0.0;
    double covariance = 0.0;
    bool has_stretch = false;
    // Some station could have been named as not fitting: there are more than the fit needs.
    bool checked = false;
    std::vector<KnownFit> stations{};  // in the order given

    // Division read for a division of the chart, and back.
    [[nodiscard]] double dial_div(double chart_div) const {
        return chart_div + offset_div + stretch * (chart_div - centre_div);
    }
    [[nodiscard]] double chart_div(double dial_div) const {
        return centre_div + (dial_div - offset_div - centre_div) / (1.0 + stretch);
    }
    // Of the correction at a division of the chart.
    [[nodiscard]] double variance(double chart_div) const {
        const double from_centre = chart_div - centre_div;
        return offset_variance + 2.0 * from_centre * covariance +
               from_centre * from_centre * stretch_variance;
    }
};

// No station gives no correction.
[[nodiscard]] Result<Correction> fit_correction(const Receiver& receiver, const BandChart& chart,
                                                std::span<const KnownStation> known);

}  // namespace skedlark::dial
