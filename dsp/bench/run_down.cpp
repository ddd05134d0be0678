#include "dsp/bench/run_down.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/bench/drift_reading.h"
#include "dsp/bench/input_check.h"
#include "dsp/core/units.h"

namespace skedlark::bench {
namespace {

constexpr double kFirstS = 120.0;
constexpr double kDbPerAmplitude = 8.685889638065037;

// From where on the level never comes back over the limit.
std::optional<Figure> fallen_from(const PitchCurve& level, double limit_dbfs) {
    const auto points = level.points();
    std::size_t from = points.size();
    double noise_db = 0.0;
    while (from > 0 && (points[from - 1].seconds == 0 || points[from - 1].pitch_hz < limit_dbfs)) {
        --from;
        noise_db = std::max(noise_db, points[from].sd_hz);
    }
    // Only silence at the end is no falling.
    bool heard = false;
    for (std::size_t i = from; i < points.size(); ++i) heard = heard || points[i].seconds > 0;
    if (!heard || from == 0) return std::nullopt;
    // How long the level needs to pass its own noise.
    std::size_t near = from;
    while (near > 0 && (points[near - 1].seconds == 0 ||
                        points[near - 1].pitch_hz < limit_dbfs + 2.0 * expanded_95(noise_db)))
        --near;
    const double step = level.step_s();
    return Figure{static_cast<double>(from) * step, static_cast<double>(from - near + 1) * step};
}

}  // namespace

RunDownMeter::RunDownMeter(const RunDownConfig& config, Decimator decimator, PitchMeter meter)
    : config_(config), decimator_(std::move(decimator)), meter_(std::move(meter)) {}

Result<RunDownMeter> RunDownMeter::create(const RunDownConfig& config) {
    auto decimator = Decimator::create(config.sample_rate_hz);
    if (!decimator) return decimator.error();
    if (Status s = within_range("fallen_db", config.fallen_db, 0.5, 60.0); !s) return s.error();
    if (Status s = within_range("gone_s", config.gone_s, 5.0, 3600.0); !s) return s.error();
    if (Status s = within_range("high_hz", config.high_hz, 120.0, Decimator::highest_hz()); !s)
        return s.error();
    auto meter = PitchMeter::create({decimator->rate_hz(), config.low_hz, config.high_hz});
    if (!meter) return meter.error();
    return RunDownMeter(config, std::move(*decimator), std::move(*meter));
}

void RunDownMeter::process(std::span<const float> audio) {
    std::vector<float> clean(audio.begin(), audio.end());
    for (float& x : clean) {
        if (!std::isfinite(x)) x = 0.0F;
    }
    decimator_.process(clean, waiting_);
    std::size_t at = 0;
    for (; at + meter_.frames() <= waiting_.size(); at += meter_.frames()) {
        take_second(std::span<const float>(waiting_).subspan(at, meter_.frames()));
    }
    waiting_.erase(waiting_.begin(), waiting_.begin() + static_cast<std::ptrdiff_t>(at));
}

void RunDownMeter::take_second(std::span<const float> second) {
    const PitchSecond found = meter_.measure(second);
    const bool measured = found.state == ToneState::one;
    if (measured) {
        ++measured_;
        last_heard_ = seconds_;
        pitch_.add(found);
        PitchSecond level = found;
        level.pitch_hz = 20.0 * std::log10(found.amplitude);
        // Amplitude of a tone over one second in noise: half the noise density over the carrier.
        const double density = power_from_db(-found.snr_2400hz_db) / 2400.0;
        level.sd_hz = kDbPerAmplitude * std::sqrt(0.5 * density);
        level_.add(level);
    } else {
        pitch_.add_none();
        level_.add_none();
    }
    ++seconds_;
}

Result<RunDown> RunDownMeter::finish() {
    if (static_cast<double>(seconds_) < kFirstS) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("audio: {} s are too short; at least {} s are needed", seconds_, kFirstS)};
    }
    RunDown result;
    result.length_s = static_cast<double>(seconds_);
    const double first_s = std::max(kFirstS, 3.0 * pitch_.step_s());
    const auto first = mean_pitch(level_, 0.0, first_s);
    const auto pitch = mean_pitch(pitch_, 0.0, first_s);
    if (!first || !pitch) {
        return Error{ErrorCode::not_found,
                     fmt::format("audio: no steady tone in the first {:.0f} s to compare with ({} "
                                 "s of all were measured)",
                                 first_s, measured_)};
    }
    result.first_level_dbfs = *first;
    result.first_pitch_hz = pitch->value;
    result.fallen_at_s = fallen_from(level_, first->value - config_.fallen_db);
    if (static_cast<double>(seconds_ - 1 - last_heard_) >= config_.gone_s) {
        result.failed_at_s = Figure{static_cast<double>(last_heard_ + 1), 1.0};
    }
    const auto points = level_.points();
    for (std::size_t i = points.size(); i-- > 0;) {
        if (points[i].seconds == 0) continue;
        result.last_level_db = points[i].pitch_hz - first->value;
        result.last_pitch_change_hz = pitch_.points()[i].pitch_hz - pitch->value;
        break;
    }
    result.pitch = pitch_;
    result.level = level_;
    return result;
}

}  // namespace skedlark::bench
