#include "dsp/bench/level_curve.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <vector>

namespace skedlark::bench {
namespace {

constexpr double kLeastSdDb = 0.01;  // no reading of a generator is better

Error outside(std::span<const LevelPoint> points, double ratio_db) {
    const auto by_ratio = [](const LevelPoint& a, const LevelPoint& b) {
        return a.ratio_db.value < b.ratio_db.value;
    };
    const auto [low, high] = std::minmax_element(points.begin(), points.end(), by_ratio);
    return {ErrorCode::invalid_value,
            fmt::format(
                "{:.1f} dB of signal over noise is not within what was measured ({:.1f} to {:.1f} "
                "dB): {} levels",
                ratio_db, low->ratio_db.value, high->ratio_db.value,
                high->ratio_db.value < ratio_db ? "add higher" : "add lower")};
}

}  // namespace

Result<LevelCurve> level_for(std::span<const LevelPoint> points, double ratio_db) {
    if (points.size() < 2) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("{} levels at which the signal stands out of the noise; at least two "
                        "are needed, three are good",
                        points.size())};
    }
    std::vector<LevelPoint> near;
    for (const LevelPoint& p : points) {
        if (std::abs(p.ratio_db.value - ratio_db) <= kNearDb) near.push_back(p);
    }
    if (near.size() < 2) return outside(points, ratio_db);
    const auto n = static_cast<Eigen::Index>(near.size());
    Eigen::MatrixXd rows(n, 2);
    Eigen::VectorXd values(n);
    const double middle = near[near.size() / 2].dbm;
    for (Eigen::Index i = 0; i < n; ++i) {
        const LevelPoint& p = near[static_cast<std::size_t>(i)];
        const double weight =
            1.0 / std::max(p.ratio_db.uncertainty_95 / expanded_95(1.0), kLeastSdDb);
        rows(i, 0) = weight;
        rows(i, 1) = weight * (p.dbm - middle);
        values(i) = weight * p.ratio_db.value;
    }
    const Eigen::Matrix2d inverse = (rows.transpose() * rows).inverse();
    const Eigen::Vector2d fit = inverse * (rows.transpose() * values);
    if (!(fit[1] > 0.1)) {
        return Error{
            ErrorCode::invalid_value,
            "the signal over noise does not rise with the generator's level: is automatic gain "
            "control on, is the series the right one?"};
    }
    const double at = (ratio_db - fit[0]) / fit[1];
    if (middle + at < near.front().dbm - kBeyondDb || middle + at > near.back().dbm + kBeyondDb)
        return outside(points, ratio_db);
    const double chi2 = (values - rows * fit).squaredNorm();
    const double freedom = static_cast<double>(n - 2);
    LevelCurve out;
    out.points = static_cast<int>(n);
    // Above its 99 % point, roughly: mean and three deviations.
    out.scattered = n > 2 && chi2 > freedom + 3.0 * std::sqrt(2.0 * freedom);
    const double wider = out.scattered ? std::sqrt(chi2 / freedom) : 1.0;
    const Eigen::Vector2d gradient(1.0, at);
    const double sd = std::sqrt(gradient.dot(inverse * gradient)) / fit[1];
    out.level_dbm = {middle + at, expanded_95(wider * sd)};
    out.slope = {fit[1], expanded_95(wider * std::sqrt(inverse(1, 1)))};
    return out;
}

}  // namespace skedlark::bench
