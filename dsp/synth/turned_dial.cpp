#include "dsp/synth/turned_dial.h"

#include <cmath>
#include <numbers>

namespace skedlark::synth {

TurnedDial::TurnedDial(const TurnedDialConfig& config, double sample_rate_hz, std::uint64_t seed)
    : config_(config), random_(seed), period_s_(1.0 / sample_rate_hz) {
    to_ = random_.uniform(-1.0, 1.0);
}

double TurnedDial::pace_at(double now_s) {
    while (now_s >= node_s_) {
        from_ = to_;
        to_ = random_.uniform(-1.0, 1.0);
        node_s_ += config_.wobble_step_s;
    }
    const double way = 1.0 - (node_s_ - now_s) / config_.wobble_step_s;
    const double smooth = 0.5 - 0.5 * std::cos(std::numbers::pi * way);
    return 1.0 + config_.wobble * (from_ + smooth * (to_ - from_));
}

double TurnedDial::next() {
    const double now_s = static_cast<double>(frame_++) * period_s_;
    const bool turning = now_s >= config_.from_s && now_s < config_.to_s;
    rate_hz_per_s_ = turning ? config_.rate_hz_per_s * pace_at(now_s) : 0.0;
    const double tuned_hz = tuned_hz_;
    tuned_hz_ += rate_hz_per_s_ * period_s_;
    return tuned_hz;
}

}  // namespace skedlark::synth
