// The chart of one band: division to megahertz and back, and how far it can be trusted.
//
// Stage:   dial. In: a band of a checked receiver. Out: curve values, residuals.
// Units:   divisions, megahertz, kilohertz to a division.
// Shape:   the monotone curve through all points; beyond the outermost ones it goes on straight.
// Time:    none.
// Errors:  create() returns invalid_value.
// Threads: values.
// Source:  monotone_curve.h; leave-one-out residuals: Allen, Technometrics 16 (1974) 125-127.
// Checked: tests/dsp/dial/chart_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/dial/monotone_curve.h"
#include "dsp/dial/receiver.h"

namespace skedlark::dial {

class BandChart {
 public:
    [[nodiscard]] static Result<BandChart> create(const Band& band);

    [[nodiscard]] double mhz_at(double div) const { return curve_.value(div); }
    [[nodiscard]] double div_at(double mhz) const { return curve_.inverse(mhz); }
    // Between half a division below and half a division above.
    [[nodiscard]] double khz_per_div(double div) const;

    // Range of the points; low_mhz may stand at the higher division.
    [[nodiscard]] double low_div() const { return curve_.x().front(); }
    [[nodiscard]] double high_div() const { return curve_.x().back(); }
    [[nodiscard]] double low_mhz() const;
    [[nodiscard]] double high_mhz() const;

    // For each point: how many divisions it stands above the curve through all others. Empty at
    // both ends, where no other point stands beyond.
    [[nodiscard]] const std::vector<std::optional<double>>& residuals_div() const {
        return residuals_div_;
    }
    // As the band says, else the root mean square of the residuals: a little too large, because a
    // point left out doubles the gap there.
    [[nodiscard]] double chart_sd_div() const { return chart_sd_div_; }

 private:
    BandChart(const Band& band, MonotoneCurve curve);

    MonotoneCurve curve_;
    std::vector<std::optional<double>> residuals_div_;
    double chart_sd_div_ = 0.0;
};

}  // namespace skedlark::dial
