// Textbook detection formulas, for stating what a detector should do; independent of the stages.
//
// Source: Albersheim 1981; Gandhi and Kassam 1988 (CA-CFAR); exact square law by the generalised
// Marcum Q function as a Poisson mixture of gamma tails (Helstrom, Elements of Signal Detection,
// from memory).
#pragma once

#include <boost/math/special_functions/gamma.hpp>
#include <cmath>

namespace skedlark::test {

// SNR in dB of one look that a linear detector needs on `looks` looks.
inline double albersheim_db(double detection, double false_alarm, double looks) {
    const double a = std::log(0.62 / false_alarm);
    const double b = std::log(detection / (1.0 - detection));
    return -5.0 * std::log10(looks) +
           (6.2 + 4.54 / std::sqrt(looks + 0.44)) * std::log10(a + 0.12 * a * b + 1.7 * b);
}

// Generalised Marcum Q function of integer order.
inline double marcum_q(int order, double a, double b) {
    const double rate = 0.5 * a * a;
    const double threshold = 0.5 * b * b;
    double weight = std::exp(-rate);
    double sum = 0.0;
    for (int k = 0; k < 4000; ++k) {
        sum += weight * boost::math::gamma_q(order + k, threshold);
        weight *= rate / (k + 1);
        if (k > rate && weight < 1e-18) break;
    }
    return sum;
}

// Square-law sum of exponential looks of mean 1: threshold, and chance that a steady tone exceeds
// it.
inline double square_law_threshold(double false_alarm, int looks) {
    return boost::math::gamma_q_inv(looks, false_alarm);
}
inline double square_law_detection(double snr, double threshold, int looks) {
    return marcum_q(looks, std::sqrt(2.0 * looks * snr), std::sqrt(2.0 * threshold));
}
// SNR in dB of one look that the square law needs, by bisection.
inline double square_law_snr_db(double detection, double false_alarm, int looks) {
    const double threshold = square_law_threshold(false_alarm, looks);
    double low = -30.0;
    double high = 30.0;
    for (int n = 0; n < 60; ++n) {
        const double middle = 0.5 * (low + high);
        (square_law_detection(std::pow(10.0, 0.1 * middle), threshold, looks) < detection ? low
                                                                                          : high) =
            middle;
    }
    return 0.5 * (low + high);
}

// Cell-averaging CFAR: factor on the mean of `cells` exponential cells; chance for a fluctuating
// target.
inline double ca_cfar_factor(double false_alarm, int cells) {
    return cells * (std::pow(false_alarm, -1.0 / cells) - 1.0);
}
inline double ca_cfar_detection(double factor, int cells, double snr) {
    return std::pow(1.0 + factor / (cells * (1.0 + snr)), -cells);
}

// Smallest standard deviation of a frequency measured over t_s at carrier over noise density
// c_n0_hz.
inline double cramer_rao_hz(double c_n0_hz, double t_s) {
    return std::sqrt(3.0 / (2.0 * 9.869604401089358 * c_n0_hz * t_s * t_s * t_s));
}

}  // namespace skedlark::test
