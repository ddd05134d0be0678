// The gain of a tone - level and phase in one - as it changes with time, and what is known of it.
//
// Stage:   copy, inside. In: frames in which the key is down. Out: the gain foreseen.
// Units:   gains as tone::BasebandFrame::z; rates of change in gain a frame; natural logarithms.
// Shape:   plain structs and functions; complex numbers as two reals, so that loops over many
//          beliefs can be taken several turns at a time.
// Errors:  none.
// Threads: values.
// Source:  a complex Gaussian process whose correlation over t is (1 + b t) exp(-b t): critically
//          damped, driven by white noise (Rasmussen, Williams, Gaussian Processes for Machine
//          Learning, 2006, section 4.2.1, Matern 3/2). Kalman filter forward and backward in time
//          (Anderson, Moore, Optimal Filtering, 1979, chapters 2 and 7; for both sides together
//          Fraser, Potter, IEEE Trans. Automatic Control 14, 1969).
// Checked: tests/dsp/copy/gain_model_test.cpp, against the same written as one Gaussian (Eigen)
#pragma once

#include <array>
#include <cmath>
#include <complex>

namespace skedlark::copy {

// Means of gain and rate, and their covariance, which is real.
struct GainState {
    double gain_re = 0.0, gain_im = 0.0, rate_re = 0.0, rate_im = 0.0;
    double gain_gain = 0.0, gain_rate = 0.0, rate_rate = 0.0;
};

// What the frames on one side of a boundary say of gain and rate there, x: a likelihood that goes
// with exp(2 Re h' x - x' L x); h are the first four. All 0: they say nothing.
struct GainMessage {
    double gain_re = 0.0, gain_im = 0.0, rate_re = 0.0, rate_im = 0.0;
    double gain_gain = 0.0, gain_rate = 0.0, rate_rate = 0.0;
};

// The mean of a message over a belief is exp(exponent) / spread.
struct MessageMean {
    double exponent, spread;
};

// A belief and a message put together: what the message says beyond the belief's means, h - L m, and
// the covariance of both together, (1 / P + L)^-1, times spread.
struct BothSides {
    double spread;
    double off_gain_re, off_gain_im, off_rate_re, off_rate_im;
    double gain_gain, gain_rate, rate_rate;
};

inline BothSides together(const GainMessage& l, const GainState& p) {
    const double det_p = p.gain_gain * p.rate_rate - p.gain_rate * p.gain_rate;
    const double det_l = l.gain_gain * l.rate_rate - l.gain_rate * l.gain_rate;
    return {1.0 + p.gain_gain * l.gain_gain + 2.0 * p.gain_rate * l.gain_rate +
                p.rate_rate * l.rate_rate + det_p * det_l,
            l.gain_re - l.gain_gain * p.gain_re - l.gain_rate * p.rate_re,
            l.gain_im - l.gain_gain * p.gain_im - l.gain_rate * p.rate_im,
            l.rate_re - l.gain_rate * p.gain_re - l.rate_rate * p.rate_re,
            l.rate_im - l.gain_rate * p.gain_im - l.rate_rate * p.rate_im,
            p.gain_gain + det_p * l.rate_rate,
            p.gain_rate - det_p * l.gain_rate,
            p.rate_rate + det_p * l.gain_gain};
}

inline MessageMean mean_of(const GainMessage& l, const GainState& p) {
    const BothSides b = together(l, p);
    const double quadratic =
        b.gain_gain * (b.off_gain_re * b.off_gain_re + b.off_gain_im * b.off_gain_im) +
        2.0 * b.gain_rate * (b.off_gain_re * b.off_rate_re + b.off_gain_im * b.off_rate_im) +
        b.rate_rate * (b.off_rate_re * b.off_rate_re + b.off_rate_im * b.off_rate_im);
    // 2 Re h' m - m' L m = Re (h + (h - L m))' m
    const double linear =
        (l.gain_re + b.off_gain_re) * p.gain_re + (l.gain_im + b.off_gain_im) * p.gain_im +
        (l.rate_re + b.off_rate_re) * p.rate_re + (l.rate_im + b.off_rate_im) * p.rate_im;
    return {linear + quadratic / b.spread, b.spread};
}

// Gain and rate believed where both sides are known.
struct GainMeans {
    double gain_re, gain_im, rate_re, rate_im;
};
[[nodiscard]] GainMeans means_of(const GainMessage& after, const GainState& before);

// What changes faster than this, 1/s, does not keep its phase through a mark: another tone, a raw note.
inline constexpr double kFastestFading = 6.0;

class GainModel {
 public:
    // One step of time: gain and rate turn by a matrix, covariances near those of nothing known.
    struct Step {
        std::array<double, 4> turn;
        double gain_power, rate_power;
    };

    // changes_per_s: b, above 0; power: mean |gain|^2, above 0.
    GainModel(double changes_per_s, double power);

    [[nodiscard]] double changes_per_s() const { return changes_per_s_; }
    [[nodiscard]] const Step& step() const { return step_; }
    [[nodiscard]] GainState unknown() const {
        return {0.0, 0.0, 0.0, 0.0, step_.gain_power, 0.0, step_.rate_power};
    }
    // One frame later; or earlier, for a state whose rate is negated.
    [[nodiscard]] GainState predict(const GainState& s) const;
    // Takes in a frame with the key down. Returns how likely it was, against noise alone.
    static double update(GainState& s, std::complex<double> z, double noise);
    // What the frames say from which a state was reached backward in time.
    [[nodiscard]] GainMessage message(const GainState& backward) const;

 private:
    double changes_per_s_;
    Step step_;
};

}  // namespace skedlark::copy
