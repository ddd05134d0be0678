#include "dsp/copy/gain_model.h"

#include <algorithm>

#include "dsp/tone/frame.h"

namespace skedlark::copy {

GainMeans means_of(const GainMessage& after, const GainState& before) {
    const BothSides b = together(after, before);
    const double gain_gain = b.gain_gain / b.spread;
    const double gain_rate = b.gain_rate / b.spread;
    const double rate_rate = b.rate_rate / b.spread;
    return {before.gain_re + gain_gain * b.off_gain_re + gain_rate * b.off_rate_re,
            before.gain_im + gain_gain * b.off_gain_im + gain_rate * b.off_rate_im,
            before.rate_re + gain_rate * b.off_gain_re + rate_rate * b.off_rate_re,
            before.rate_im + gain_rate * b.off_gain_im + rate_rate * b.off_rate_im};
}

GainModel::GainModel(double changes_per_s, double power) : changes_per_s_(changes_per_s) {
    const double b = changes_per_s / tone::kBasebandRateHz;
    const double e = std::exp(-b);
    step_ = {{e * (1.0 + b), e, -e * b * b, e * (1.0 - b)}, power, power * b * b};
}

GainState GainModel::predict(const GainState& s) const {
    const auto [a, b, c, d] = step_.turn;
    // The distance of a covariance from that of nothing known shrinks with the means.
    const double gg = s.gain_gain - step_.gain_power;
    const double gr = s.gain_rate;
    const double rr = s.rate_rate - step_.rate_power;
    return {a * s.gain_re + b * s.rate_re,
            a * s.gain_im + b * s.rate_im,
            c * s.gain_re + d * s.rate_re,
            c * s.gain_im + d * s.rate_im,
            step_.gain_power + a * a * gg + 2.0 * a * b * gr + b * b * rr,
            a * c * gg + (a * d + b * c) * gr + b * d * rr,
            step_.rate_power + c * c * gg + 2.0 * c * d * gr + d * d * rr};
}

double GainModel::update(GainState& s, std::complex<double> z, double noise) {
    const double variance = s.gain_gain + noise;
    const double off_re = z.real() - s.gain_re;
    const double off_im = z.imag() - s.gain_im;
    const double for_gain = s.gain_gain / variance;
    const double for_rate = s.gain_rate / variance;
    s.gain_re += for_gain * off_re;
    s.gain_im += for_gain * off_im;
    s.rate_re += for_rate * off_re;
    s.rate_im += for_rate * off_im;
    s.rate_rate -= for_rate * s.gain_rate;
    s.gain_rate *= 1.0 - for_gain;
    s.gain_gain *= 1.0 - for_gain;
    return std::norm(z) / noise - (off_re * off_re + off_im * off_im) / variance -
           std::log(variance / noise);
}

GainMessage GainModel::message(const GainState& s) const {
    const double det = s.gain_gain * s.rate_rate - s.gain_rate * s.gain_rate;
    const double gain_gain = s.rate_rate / det;
    const double gain_rate = -s.gain_rate / det;
    const double rate_rate = s.gain_gain / det;
    // Time runs backward there, so rates change sign. What was known beforehand is taken out.
    return {gain_gain * s.gain_re + gain_rate * s.rate_re,
            gain_gain * s.gain_im + gain_rate * s.rate_im,
            -(gain_rate * s.gain_re + rate_rate * s.rate_re),
            -(gain_rate * s.gain_im + rate_rate * s.rate_im),
            std::max(0.0, gain_gain - 1.0 / step_.gain_power),
            -gain_rate,
            std::max(0.0, rate_rate - 1.0 / step_.rate_power)};
}

}  // namespace skedlark::copy
