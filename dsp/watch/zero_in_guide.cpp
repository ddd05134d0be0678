#include "dsp/watch/zero_in_guide.h"

#include <algorithm>
#include <utility>

#include "dsp/core/units.h"

namespace skedlark::watch {

namespace {

constexpr double kHoldS = 4.0;    // right for so long is found
constexpr double kSilentS = 3.0;  // without a glance: nothing is heard
constexpr double kForgetS = 8.0;  // and what was known of the side is worth nothing

}  // namespace

Result<ZeroInGuide> ZeroInGuide::create(const dial::Dial& dial, double div,
                                        const std::vector<std::string>& calls) {
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
    auto match = CallMatch::create(calls);
    if (!match) return match.error();
    ZeroInGuide guide(*std::move(zero_in), *std::move(meter), *std::move(match), div);
    if (!calls.empty()) {
        auto copying = Watch::create({});
        if (!copying) return copying.error();
        guide.copying_.emplace(*std::move(copying));
    }
    return guide;
}

ZeroInGuide::ZeroInGuide(dial::ZeroIn zero_in, tone::GlanceMeter meter, CallMatch match, double div)
    : zero_in_(std::move(zero_in)), meter_(std::move(meter)), match_(std::move(match)), div_(div) {}

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
    steps_.push_back({glance, *advice, held_});
}

std::optional<dial::ZeroInAdvice> ZeroInGuide::advice() const {
    if (!last_ || heard_s_ - last_->at_s > kSilentS) return std::nullopt;
    return zero_in_.advice();
}

std::vector<ZeroInStep> ZeroInGuide::take_steps() { return std::exchange(steps_, {}); }

}  // namespace skedlark::watch
