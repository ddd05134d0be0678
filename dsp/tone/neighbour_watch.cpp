#include "dsp/tone/neighbour_watch.h"

#include <algorithm>
#include <cmath>

#include "dsp/core/units.h"
#include "dsp/tone/pitch_grid.h"

namespace skedlark::tone {
namespace {

// Averaged over so long: several words, so that gaps of either station do not count.
constexpr double kMeanS = 4.0;
// The tone's own line, and where its keying and a chirping note end and another station begins.
constexpr double kOwnHz = 4.0;
constexpr double kNearHz = 50.0;
// The usual low-pass takes 3 dB off at 100 Hz, 30 dB from 150 Hz on.
constexpr double kFarHz = 150.0;
// A line counts as a neighbour from this much of the tone's own on, and stays one down to half of it.
// Full hum on the note makes lines of a quarter.
constexpr double kNearShare = 0.4;
constexpr double kFarShare = 10.0;
constexpr double kLeastRatio = 6.0;
// The shutting filter's first zero comes a little before the neighbour, because of its keying.
constexpr double kZeroShare = 0.9;
constexpr double kZeroForFarHz = 90.0;

int cells(double hz) { return static_cast<int>(std::lround(hz / kEvidenceCellHz)); }

}  // namespace

void NeighbourWatch::step(std::span<const float> ratio, double pitch_hz) noexcept {
    static const auto kFresh = static_cast<float>(kPitchStep / kWorkRateHz / kMeanS);
    const int middle = cells(pitch_hz);
    const int reach = cells(kNeighbourReachHz);
    const int first = std::max(0, middle - reach);
    const int last =
        std::min(static_cast<int>(std::min(ratio.size(), mean_.size())) - 1, middle + reach);
    double own = 0.0, near = 0.0, far = 0.0;
    int near_cell = 0;
    for (int cell = first; cell <= last; ++cell) {
        float& mean = mean_[static_cast<std::size_t>(cell)];
        mean += kFresh * (ratio[static_cast<std::size_t>(cell)] - mean);
        const auto here = static_cast<double>(mean);
        const int away = std::abs(cell - middle);
        if (away <= cells(kOwnHz)) {
            own = std::max(own, here);
        } else if (away >= cells(kFarHz)) {
            far = std::max(far, here);
        } else if (away >= cells(kNearHz) && here > near) {
            near = here;
            near_cell = away;
        }
    }
    const double held = shut_from_hz_ > 0.0 ? 0.5 : 1.0;
    const double least = held * std::max(kLeastRatio, kNearShare * own);
    if (near > least) {
        shut_from_hz_ = kZeroShare * near_cell * kEvidenceCellHz;
    } else if (far > held * std::max(kLeastRatio, kFarShare * own)) {
        shut_from_hz_ = kZeroForFarHz;
    } else {
        shut_from_hz_ = 0.0;
    }
}

}  // namespace skedlark::tone
