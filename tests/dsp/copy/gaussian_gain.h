// The gain of a tone as one Gaussian over all its frames at once, without any recursion.
//
// Stage:   tests.
// Units:   frames; as dsp/copy/gain_model.h.
// Source:  conditional distributions of a multivariate Gaussian (Rasmussen, Williams, Gaussian
//          Processes for Machine Learning, 2006, equations 2.25 to 2.30); Eigen for the algebra.
#pragma once

#include <Eigen/Dense>
#include <cmath>
#include <complex>
#include <vector>

namespace skedlark::test {

class GaussianGain {
 public:
    GaussianGain(double changes_a_frame, double power) : b_(changes_a_frame), power_(power) {}

    void hear(int at, std::complex<double> z, double noise) { heard_.push_back({at, z, noise}); }

    struct Gain {
        std::complex<double> mean;
        double variance;
    };
    [[nodiscard]] Gain gain_at(int at) const {
        const auto n = static_cast<Eigen::Index>(heard_.size());
        if (n == 0) return {{}, power_};
        Eigen::VectorXd along(n);
        Eigen::VectorXcd z(n);
        for (Eigen::Index i = 0; i < n; ++i) {
            along(i) = covariance(heard_[i].at, at);
            z(i) = heard_[i].z;
        }
        const Eigen::VectorXd weights = all().ldlt().solve(along);
        return {weights.cast<std::complex<double>>().dot(z), power_ - weights.dot(along)};
    }
    // Of the frames with this gain, against noise alone.
    [[nodiscard]] double log_ratio() const {
        const auto n = static_cast<Eigen::Index>(heard_.size());
        Eigen::VectorXd re(n), im(n);
        double alone = 0.0;
        for (Eigen::Index i = 0; i < n; ++i) {
            re(i) = heard_[i].z.real();
            im(i) = heard_[i].z.imag();
            alone += std::norm(heard_[i].z) / heard_[i].noise + std::log(heard_[i].noise);
        }
        const Eigen::MatrixXd k = all();
        const Eigen::LLT<Eigen::MatrixXd> factor(k);
        const double log_det = 2.0 * factor.matrixLLT().diagonal().array().log().sum();
        return alone - re.dot(factor.solve(re)) - im.dot(factor.solve(im)) - log_det;
    }

 private:
    struct Heard {
        int at;
        std::complex<double> z;
        double noise;
    };
    [[nodiscard]] double covariance(int a, int b) const {
        const double t = b_ * std::abs(a - b);
        return power_ * (1.0 + t) * std::exp(-t);
    }
    [[nodiscard]] Eigen::MatrixXd all() const {
        const auto n = static_cast<Eigen::Index>(heard_.size());
        Eigen::MatrixXd k(n, n);
        for (Eigen::Index i = 0; i < n; ++i) {
            for (Eigen::Index j = 0; j < n; ++j) {
                k(i, j) = covariance(heard_[i].at, heard_[j].at) + (i == j ? heard_[i].noise : 0.0);
            }
        }
        return k;
    }

    double b_, power_;
    std::vector<Heard> heard_;
};

}  // namespace skedlark::test
