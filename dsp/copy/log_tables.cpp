#include "dsp/copy/log_tables.h"

#include <cmath>
#include <numbers>

namespace skedlark::copy {
namespace {

double bessel_beside_x(double x) {
    return x < 80.0 ? std::log(std::cyl_bessel_i(0.0, x)) - x
                    : -0.5 * std::log(2.0 * std::numbers::pi * x) + 0.125 / x;
}

}  // namespace

LogTables::LogTables() {
    const auto value = [](std::uint32_t first, std::size_t i) {
        const auto bits = (first + static_cast<std::uint32_t>(i)) << kStepBits;
        return static_cast<double>(std::bit_cast<float>(bits));
    };
    for (std::size_t i = 0; i < bessel_.size(); ++i) {
        bessel_[i] = static_cast<float>(bessel_beside_x(value(kFirst, i)));
    }
    for (std::size_t i = 0; i < mantissa_.size(); ++i) {
        mantissa_[i] = static_cast<float>(std::log(value(kOne, i)));
    }
    for (std::size_t i = 0; i < power_.size(); ++i) {
        power_[i] = static_cast<float>(std::exp2(static_cast<double>(i) / kPowers));
    }
}

const LogTables& log_tables() {
    static const LogTables tables;
    return tables;
}

}  // namespace skedlark::copy
