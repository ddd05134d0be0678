#include "dsp/copy/fine_pitch.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace skedlark::copy {
namespace {

constexpr double kTurn = 2.0 * std::numbers::pi;
// Longer than it takes until marks are read, or the loop would swing.
// Tried 6 and 15 at 12 wpm, -14 dB: 5.9 and 5.7 % wrong.
constexpr double kSettleS = 15.0;
// What lies further off is for the follower to find.
constexpr double kMostTurn = kTurn * 0.5 / tone::kBasebandRateHz;

}  // namespace

tone::BasebandFrame FinePitch::taken_out(tone::BasebandFrame frame) {
    frame.z *= std::complex<float>(std::polar(1.0, -phase_));
    frame.pitch_hz += static_cast<float>(turn_ / kTurn * tone::kBasebandRateHz);
    phase_ = std::remainder(phase_ + turn_, kTurn);
    return frame;
}

void FinePitch::learn(double turn_a_frame, std::int64_t frames) {
    const double share =
        1.0 - std::exp(-static_cast<double>(frames) / (kSettleS * tone::kBasebandRateHz));
    turn_ = std::clamp(turn_ + share * turn_a_frame, -kMostTurn, kMostTurn);
}

void FinePitch::add(double turn_a_frame, std::int64_t frames) {
    phase_ = std::remainder(phase_ + static_cast<double>(frames) * turn_a_frame, kTurn);
    turn_ = std::clamp(turn_ + turn_a_frame, -kMostTurn, kMostTurn);
}

}  // namespace skedlark::copy
