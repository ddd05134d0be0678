#include "dsp/synth/note.h"

#include <cmath>
#include <numbers>

namespace skedlark::synth {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;

}  // namespace

TransmitterNote::TransmitterNote(const NoteConfig& config, double offset_hz,
                                 const std::vector<Mark>& marks, double sample_rate_hz,
                                 std::uint64_t seed)
    : config_(config),
      offset_hz_(offset_hz),
      period_s_(1.0 / sample_rate_hz),
      phase_(kTwoPi * Random(seed).uniform()) {
    if (config.chirp_hz != 0.0) {
        for (const Mark& mark : marks) key_downs_s_.push_back(mark.on_s);
    }
    // Mean of |sin| is 2 / pi, of sin^2 one half.
    const double d = config.hum_depth;
    const double rest = 1.0 - d;
    hum_scale_ =
        1.0 / std::sqrt(rest * rest + 2.0 * rest * d * 2.0 / std::numbers::pi + 0.5 * d * d);
}

double TransmitterNote::chirp_at(double now_s) {
    while (next_key_down_ < key_downs_s_.size() && key_downs_s_[next_key_down_] <= now_s) {
        ++next_key_down_;
    }
    if (next_key_down_ == 0) return 0.0;
    const double since_s = now_s - key_downs_s_[next_key_down_ - 1];
    return config_.chirp_hz * std::exp(-since_s / config_.chirp_settle_s);
}

TransmitterNote::Sample TransmitterNote::next() {
    const double now_s = static_cast<double>(frame_++) * period_s_;
    Sample sample{phase_, 1.0};
    double hz = offset_hz_;
    if (!key_downs_s_.empty()) hz += chirp_at(now_s);
    if (config_.hum_depth > 0.0 || config_.hum_fm_hz > 0.0) {
        const double angle = std::numbers::pi * config_.hum_hz * now_s;
        sample.hum =
            hum_scale_ * (1.0 - config_.hum_depth + config_.hum_depth * std::abs(std::sin(angle)));
        hz += config_.hum_fm_hz * std::cos(2.0 * angle);
    }
    if (config_.warble_hz > 0.0) {
        hz += config_.warble_hz * std::sin(kTwoPi * config_.warble_rate_hz * now_s);
    }
    phase_ += kTwoPi * hz * period_s_;
    return sample;
}

ReceiverBeat::ReceiverBeat(const BeatConfig& config, double sample_rate_hz, std::uint64_t seed)
    : config_(config), random_(seed), period_s_(1.0 / sample_rate_hz), pitch_hz_(config.pitch_hz) {
    phase_ = kTwoPi * random_.uniform();
}

double ReceiverBeat::drifted_hz(double now_s) const {
    const double drift = config_.drift_hz_per_s * now_s;
    if (config_.drift_span_hz <= 0.0) return drift;
    // Triangle: out to the span, back through the start to the other side, and so on.
    const double span = config_.drift_span_hz;
    double turn = std::fmod(std::abs(drift) + span, 4.0 * span);
    if (turn > 2.0 * span) turn = 4.0 * span - turn;
    return std::copysign(1.0, config_.drift_hz_per_s) * (turn - span);
}

double ReceiverBeat::wandered_hz(double now_s) {
    if (config_.wander_hz <= 0.0) return 0.0;
    while (now_s >= wander_node_s_) {
        wander_from_hz_ = wander_to_hz_;
        wander_to_hz_ += config_.wander_hz * random_.normal();
        const double limit = config_.wander_limit_hz;
        while (std::abs(wander_to_hz_) > limit) {
            wander_to_hz_ = std::copysign(2.0 * limit, wander_to_hz_) - wander_to_hz_;
        }
        wander_node_s_ += config_.wander_step_s;
    }
    const double left = (wander_node_s_ - now_s) / config_.wander_step_s;
    return wander_to_hz_ + left * (wander_from_hz_ - wander_to_hz_);
}

double ReceiverBeat::knocked_hz(double now_s) {
    while (knocks_past_ < config_.knocks.size() && config_.knocks[knocks_past_].at_s <= now_s) {
        ++knocks_past_;
    }
    double hz = 0.0;
    for (std::size_t i = 0; i < knocks_past_; ++i) {
        const Knock& knock = config_.knocks[i];
        hz += knock.settle_s > 0.0 ? knock.hz * std::exp((knock.at_s - now_s) / knock.settle_s)
                                   : knock.hz;
    }
    return hz;
}

double ReceiverBeat::next() {
    const double now_s = static_cast<double>(frame_++) * period_s_;
    const double phase = phase_;
    pitch_hz_ = config_.pitch_hz + drifted_hz(now_s) + wandered_hz(now_s) + knocked_hz(now_s);
    // One step is less than a turn, so one turn back keeps the phase small (and is quicker than
    // fmod).
    phase_ += kTwoPi * pitch_hz_ * period_s_;
    if (phase_ > kTwoPi) phase_ -= kTwoPi;
    if (phase_ < -kTwoPi) phase_ += kTwoPi;
    return phase;
}

}  // namespace skedlark::synth
