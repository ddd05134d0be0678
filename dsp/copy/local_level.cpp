#include "dsp/copy/local_level.h"

#include <algorithm>
#include <cmath>

#include "dsp/copy/level_tracker.h"

namespace skedlark::copy {
namespace {

// Tried 6 and 10 dB, and windows of 1.4 and 2 s, on seeds 1 to 8: docs/measured.md.
constexpr double kMostAwayDb = 10.0;

}  // namespace

LocalLevel::LocalLevel() : ring_(kLocalFrames) {}

void LocalLevel::push(const tone::BasebandFrame& frame) {
    Weighed& place = ring_[next_];
    const Weighed old = place;
    place = {};
    if (frame.has_level() && frame.noise_variance > 0.0F) {
        const auto noise = static_cast<double>(frame.noise_variance);
        place = {static_cast<double>(std::norm(frame.z)) / noise - 1.0, 1.0 / noise};
    }
    next_ = (next_ + 1) % ring_.size();
    if (next_ == 0) {
        // Added up anew once a round, or rounding would stay in the sums for good.
        sum_ = {};
        for (const Weighed& one : ring_) {
            sum_ = {sum_.excess + one.excess, sum_.weight + one.weight};
        }
        return;
    }
    sum_ = {sum_.excess + place.excess - old.excess, sum_.weight + place.weight - old.weight};
}

double LocalLevel::amplitude(double usual) const {
    if (sum_.weight <= 0.0) {
        return usual;
    }
    const double power = std::max(0.0, sum_.excess) / (sum_.weight * kKeyDownShare);
    return usual * std::clamp(std::sqrt(power) / usual, amplitude_from_db(-kMostAwayDb),
                              amplitude_from_db(kMostAwayDb));
}

void LocalLevel::reset() {
    std::fill(ring_.begin(), ring_.end(), Weighed{});
    next_ = 0;
    sum_ = {};
}

}  // namespace skedlark::copy
