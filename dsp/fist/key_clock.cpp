#include "dsp/fist/key_clock.h"

#include <algorithm>
#include <cmath>

namespace skedlark::fist {

namespace {
// Farther apart than this, the stamps' clock was set anew.
constexpr double kClockLeapS = 2.0;
}  // namespace

double KeyClock::at_s(double now_s, std::optional<std::uint64_t> stamp_ms) {
    if (!stamp_ms) return now_s;
    const double stamp_s = 1e-3 * static_cast<double>(*stamp_ms);
    const double ahead_s = now_s - stamp_s;
    if (!ahead_s_ || std::abs(ahead_s - *ahead_s_) > kClockLeapS) ahead_s_ = ahead_s;
    ahead_s_ = std::min(*ahead_s_, ahead_s);
    return stamp_s + *ahead_s_;
}

}  // namespace skedlark::fist
