#include "dsp/bench/pitch_jumps.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>

namespace skedlark::bench {
namespace {

constexpr double kLeastDeviations = 6.0;
// Of the usual change from second to second, across the place itself: 8 gave 7 false jumps an hour in a random walk,
// 14 one in five hours (pitch_jumps_test.cpp).
constexpr double kLeastChanges = 14.0;
constexpr int kLeastEachSide = 5;
// Student's 97.5 % point for 10 degrees of freedom: a line with a step through 13 to 16 points.
constexpr double kCoverage = 2.2;

}  // namespace

// Median change between neighbouring seconds, that over the middle left out.
double PitchJumps::usual_change() const {
    std::array<double, kSpan> changes{};
    std::size_t count = 0;
    for (int i = 0; i + 1 < kSpan; ++i) {
        if (i == kSide || i + 1 == kSide || !slot(i).measured || !slot(i + 1).measured) continue;
        changes[count++] = std::abs(slot(i + 1).hz - slot(i).hz);
    }
    if (count == 0) return 0.0;
    const auto middle = changes.begin() + static_cast<std::ptrdiff_t>(count / 2);
    std::nth_element(changes.begin(), middle, changes.begin() + static_cast<std::ptrdiff_t>(count));
    return *middle;
}

PitchJumps::Candidate PitchJumps::judge() const {
    Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
    Eigen::Vector3d right = Eigen::Vector3d::Zero();
    int before = 0, after = 0;
    double noise = 0.0;
    const double origin = slot(kSide - 1).measured ? slot(kSide - 1).hz : slot(kSide + 1).hz;
    const auto row = [](int i) { return Eigen::Vector3d(1.0, i - kSide, i > kSide ? 1.0 : 0.0); };
    for (int i = 0; i < kSpan; ++i) {
        if (i == kSide || !slot(i).measured) continue;
        (i < kSide ? before : after) += 1;
        normal += row(i) * row(i).transpose();
        right += row(i) * (slot(i).hz - origin);
        noise += slot(i).sd_hz * slot(i).sd_hz;
    }
    if (before < kLeastEachSide || after < kLeastEachSide) return {};
    const Eigen::Matrix3d inverse = normal.inverse();
    const Eigen::Vector3d fit = inverse * right;
    double squares = 0.0;
    for (int i = 0; i < kSpan; ++i) {
        if (i == kSide || !slot(i).measured) continue;
        const double off = slot(i).hz - origin - row(i).dot(fit);
        squares += off * off;
    }
    const int points = before + after;
    const double variance = std::max(squares / (points - 3), noise / points);
    const double sd = std::sqrt(variance * inverse(2, 2));
    const double size = std::abs(fit(2));
    const bool both = slot(kSide - 1).measured && slot(kSide + 1).measured;
    // Drift is no part of it.
    const double across =
        both ? std::abs(slot(kSide + 1).hz - slot(kSide - 1).hz - 2.0 * fit(1)) : size;
    if (size < least_hz_ || size < kLeastDeviations * sd || across < kLeastChanges * usual_change())
        return {};
    return {true,
            static_cast<double>(count_ - kSide) - 0.5,
            {fit(2), kCoverage * sd},
            size / std::max(sd, 1e-9)};
}

void PitchJumps::add(bool measured, const PitchSecond& second) {
    ring_[static_cast<std::size_t>(next_)] = {measured, second.pitch_hz, second.sd_hz};
    next_ = (next_ + 1) % kSpan;
    ++count_;
    if (count_ < kSpan) return;
    const Candidate here = judge();
    // The clearest of neighbouring places is the jump.
    if (here.there && (!best_.there || here.sharpness > best_.sharpness)) {
        best_ = here;
        since_best_ = 0;
    } else if (best_.there && ++since_best_ >= kSide / 2) {
        if (jumps_.size() < kMaxJumps) jumps_.push_back({best_.at_s, best_.step});
        best_ = {};
    }
}

}  // namespace skedlark::bench
