// Logarithm of the modified Bessel function I0, for likelihoods by the million.
//
// Stage:   core. In: x, at least 0. Out: ln I0(x).
// Units:   none.
// Shape:   one number; x of any size.
// Time:    none.
// Errors:  within 1e-5 of the true value.
// Threads: the table is made once, at the first call; after that any number of threads.
// Source:  table of the library's I0, linear between its points; beyond it x - ln(2 pi x) / 2, the
//          first term of the asymptotic series (Abramowitz and Stegun 9.7.1).
// Checked: tests/dsp/core/log_bessel_test.cpp
#pragma once

#include <boost/math/special_functions/bessel.hpp>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <vector>

namespace skedlark {

class LogBesselI0 {
 public:
    LogBesselI0() {
        values_.reserve(kPoints);
        for (int k = 0; k < kPoints; ++k)
            values_.push_back(std::log(boost::math::cyl_bessel_i(0, k / kPerUnit)));
    }
    [[nodiscard]] double operator()(double x) const {
        const double place = x * kPerUnit;
        if (!(place < kPoints - 1))
            return x + 0.125 / x - 0.5 * std::log(2.0 * std::numbers::pi * x);
        const auto k = static_cast<std::size_t>(place);
        return values_[k] + (place - static_cast<double>(k)) * (values_[k + 1] - values_[k]);
    }

 private:
    static constexpr double kPerUnit = 128.0;
    static constexpr int kPoints = 100 * 128;
    std::vector<double> values_;
};

[[nodiscard]] inline double log_bessel_i0(double x) {
    static const LogBesselI0 table;
    return table(x);
}

}  // namespace skedlark
