#include "dsp/bench/quadratic_tail.h"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <cmath>

namespace skedlark::bench {
namespace {

constexpr int kMaxExact = 200;
// Longer pieces have so many degrees of freedom that their law is near a gamma's.
constexpr int kMaxThinning = 4;
// Eigenvalues under this share of the largest are rounding errors or the sound card's own noise.
constexpr double kLeastWeight = 1e-5;

double at(std::span<const double> covariance, std::size_t lag) {
    return lag < covariance.size() ? covariance[lag] : 0.0;
}

// Cumulant generating function of sum w z^2 and its derivatives.
struct Cumulant {
    double k = 0.0, k1 = 0.0, k2 = 0.0;
};
Cumulant cumulant(std::span<const double> weights, double t) {
    Cumulant c;
    for (const double w : weights) {
        const double d = 1.0 - 2.0 * w * t;
        c.k -= 0.5 * std::log(d);
        c.k1 += w / d;
        c.k2 += 2.0 * w * w / (d * d);
    }
    return c;
}

double normal_below(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

// Chance of the tail that the saddle point t looks into: below for t < 0, above for t > 0.
double tail_chance(std::span<const double> weights, double t) {
    const Cumulant c = cumulant(weights, t);
    const double w = std::sqrt(std::max(0.0, 2.0 * (t * c.k1 - c.k)));
    const double u = std::abs(t) * std::sqrt(c.k2);
    if (w < 1e-6) return 0.5;
    const double density = std::exp(-0.5 * w * w) / std::sqrt(2.0 * 3.141592653589793);
    return normal_below(-w) + density * (1.0 / u - 1.0 / w);
}

}  // namespace

std::vector<double> power_weights(std::span<const double> covariance, int length) {
    int thinning = 1;
    while (length / thinning > kMaxExact && thinning < kMaxThinning) ++thinning;
    const int size = length / thinning;
    if (size > kMaxExact) {
        const double freedom = degrees_of_freedom(covariance, length);
        const auto count = static_cast<std::size_t>(std::max(1L, std::lround(freedom)));
        return std::vector<double>(count, 1.0 / static_cast<double>(count));
    }
    Eigen::MatrixXd matrix(size, size);
    for (int i = 0; i < size; ++i) {
        for (int j = 0; j < size; ++j) {
            matrix(i, j) = at(covariance, static_cast<std::size_t>(std::abs(i - j) * thinning));
        }
    }
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solver(matrix, Eigen::EigenvaluesOnly);
    std::vector<double> weights;
    double sum = 0.0;
    for (int i = size - 1; i >= 0; --i) {
        const double value = solver.eigenvalues()(i);
        if (!weights.empty() && value < kLeastWeight * weights.front()) break;
        weights.push_back(value);
        sum += value;
    }
    for (double& w : weights) w /= sum;
    return weights;
}

double lower_limit(std::span<const double> weights, double chance) {
    double low = -1e12, high = -1e-9;  // of t, by its logarithm
    for (int i = 0; i < 100; ++i) {
        const double t = -std::sqrt(low * high);
        (tail_chance(weights, t) < chance ? low : high) = t;
    }
    return cumulant(weights, -std::sqrt(low * high)).k1;
}

double upper_limit(std::span<const double> weights, double chance) {
    const double end = 0.5 / weights.front();
    double low = 1e-9 * end, high = end * (1.0 - 1e-12);
    for (int i = 0; i < 100; ++i) {
        const double t = 0.5 * (low + high);
        (tail_chance(weights, t) > chance ? low : high) = t;
    }
    return cumulant(weights, 0.5 * (low + high)).k1;
}

double degrees_of_freedom(std::span<const double> covariance, int length) {
    double squares = 0.0;
    for (int lag = 0; lag < length; ++lag) {
        const double r = at(covariance, static_cast<std::size_t>(lag)) / covariance[0];
        squares += (lag == 0 ? 1.0 : 2.0) * static_cast<double>(length - lag) * r * r;
    }
    return static_cast<double>(length) * static_cast<double>(length) / squares;
}

}  // namespace skedlark::bench
