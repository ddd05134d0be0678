#include "cli/zero_in_guide.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "dsp/core/units.h"

namespace skedlark::cli {

namespace {

constexpr double kHoldS = 4.0;    // right for so long is found
constexpr double kSilentS = 3.0;  // without a glance: nothing is heard
constexpr double kForgetS = 8.0;  // and what was known of the side is worth nothing

const char* word(dial::Turn turn) {
    return turn == dial::Turn::here ? "here" : turn == dial::Turn::up ? "up" : "down";
}

}  // namespace

Result<ZeroInGuide> ZeroInGuide::create(const dial::Dial& dial, double div,
                                        const std::vector<std::string>& calls, double begins_s) {
    const dial::Receiver& receiver = dial.receiver();
    dial::ZeroInConfig config;
    config.pitch_hz = receiver.audio.pitch_hz;
    config.khz_per_div = dial.khz_per_div(div);
    config.listen = receiver.beat.listen;
    auto zero_in = dial::ZeroIn::create(config);
    if (!zero_in) return zero_in.error();
    tone::GlanceConfig looking;
    looking.high_hz = std::clamp(receiver.audio.high_hz, 400.0, 3900.0);
    looking.low_hz = std::clamp(receiver.audio.low_hz, 50.0, 0.5 * looking.high_hz);
    auto meter = tone::GlanceMeter::create(looking);
    if (!meter) return meter.error();
    auto match = watch::CallMatch::create(calls);
    if (!match) return match.error();
    ZeroInGuide guide(*std::move(zero_in), *std::move(meter), *std::move(match), div,
                      config.pitch_hz, begins_s);
    if (!calls.empty()) {
        auto copying = watch::Watch::create({});
        if (!copying) return copying.error();
        guide.copying_.emplace(*std::move(copying));
    }
    return guide;
}

ZeroInGuide::ZeroInGuide(dial::ZeroIn zero_in, tone::GlanceMeter meter, watch::CallMatch match,
                         double div, double pitch_hz, double begins_s)
    : zero_in_(std::move(zero_in)),
      meter_(std::move(meter)),
      match_(std::move(match)),
      div_(div),
      pitch_hz_(pitch_hz),
      begins_s_(begins_s) {}

void ZeroInGuide::process(std::span<const float> audio, bool lost) {
    std::vector<tone::Glance> glances;
    meter_.process(audio, glances);
    for (const tone::Glance& glance : glances) take(glance);
    heard_s_ += static_cast<double>(audio.size()) / kWorkRateHz;
    if (last_ && heard_s_ - last_->at_s > kForgetS) {
        zero_in_.lost();
        last_.reset();
    }
    if (!copying_) return;
    std::vector<Event> events;
    copying_->process({audio, lost, lost ? "lost" : ""}, events);
    for (const Event& event : events)
        if (const auto* read = std::get_if<CharEvent>(&event)) match_.add(*read);
}

void ZeroInGuide::take(const tone::Glance& glance) {
    last_ = glance;
    zero_in_.heard(glance.at_s, glance.pitch_hz, glance.pitch_sd_hz);
    const auto advice = zero_in_.advice();
    if (!advice) return;
    if (advice->turn != dial::Turn::here) {
        right_since_s_.reset();
    } else {
        if (!right_since_s_) right_since_s_ = glance.at_s;
        if (glance.at_s - *right_since_s_ >= kHoldS) {
            held_ = true;
            held_hz_ = glance.pitch_hz;
        }
    }
    const auto tenths = [](double value) { return std::round(10.0 * value) / 10.0; };
    const nlohmann::ordered_json json{
        {"event", "zero_in"},
        {"at_s", std::round(100.0 * (begins_s_ + glance.at_s)) / 100.0},
        {"pitch_hz", tenths(glance.pitch_hz)},
        {"off_hz", tenths(advice->off_hz)},
        {"turn", word(advice->turn)},
        {"turn_div", std::round(1e4 * advice->turn_div) / 1e4},
        {"sure", advice->sure},
        {"through_zero_beat", advice->cross},
        {"held", held_}};
    json_ += json.dump() + "\n";
}

std::string ZeroInGuide::line() const {
    const auto advice = zero_in_.advice();
    if (!last_ || !advice || heard_s_ - last_->at_s > kSilentS)
        return fmt::format("nothing heard yet: about {:.2f}, turn slowly", div_);
    std::string text = fmt::format("{:.0f} Hz", advice->pitch_hz);
    if (advice->turn == dial::Turn::here) return text + ": here, hold it";
    if (advice->cross)
        return text + fmt::format(", wrong side of zero beat: {} {:.3f}, through zero beat",
                                  word(advice->turn), advice->turn_div);
    text += fmt::format(", {:.0f} too {}: ", std::abs(advice->off_hz),
                        advice->off_hz > 0.0 ? "high" : "low");
    if (!advice->sure) return text + fmt::format("try {}, a little", word(advice->turn));
    return text + fmt::format("{} {:.3f}", word(advice->turn), advice->turn_div);
}

std::string ZeroInGuide::take_json() { return std::exchange(json_, {}); }

}  // namespace skedlark::cli
