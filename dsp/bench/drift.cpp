#include "dsp/bench/drift.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/bench/input_check.h"

namespace skedlark::bench {
namespace {

constexpr double kShortestS = 30.0;
constexpr long kFewestSeconds = 20;
constexpr double kMinuteS = 60.0;
constexpr float kClipped = 0.999F;
constexpr double kBlockS = 0.25;

}  // namespace

DriftMeter::DriftMeter(const DriftConfig& config, Decimator decimator, PitchMeter meter)
    : config_(config),
      decimator_(std::move(decimator)),
      meter_(std::move(meter)),
      jumps_(config.least_jump_hz) {}

Result<DriftMeter> DriftMeter::create(const DriftConfig& config) {
    auto decimator = Decimator::create(config.sample_rate_hz);
    if (!decimator) return decimator.error();
    if (Status s = within_range("low_hz", config.low_hz, 20.0, 3000.0); !s) return s.error();
    if (Status s =
            within_range("high_hz", config.high_hz, config.low_hz + 100.0, Decimator::highest_hz());
        !s)
        return s.error();
    if (Status s = within_range("clock_error_ppm", config.clock_error_ppm, 0.0, 10000.0); !s)
        return s.error();
    if (Status s = within_range("within_hz", config.within_hz, 0.01, 3000.0); !s) return s.error();
    if (Status s = within_range("for_s", config.for_s, 10.0, 1e6); !s) return s.error();
    if (Status s = within_range("least_jump_hz", config.least_jump_hz, 0.01, 1000.0); !s)
        return s.error();
    if (Status s = check_marks(config.supply, config.power, 1e9); !s) return s.error();
    auto meter = PitchMeter::create({decimator->rate_hz(), config.low_hz, config.high_hz});
    if (!meter) return meter.error();
    return DriftMeter(config, std::move(*decimator), std::move(*meter));
}

void DriftMeter::process(std::span<const float> audio) {
    const auto block = static_cast<std::size_t>(kBlockS * config_.sample_rate_hz);
    std::vector<float> clean;
    while (!audio.empty()) {
        const auto piece = audio.first(std::min(block, audio.size()));
        audio = audio.subspan(piece.size());
        frames_ += static_cast<long>(piece.size());
        long bad = 0;
        for (const float x : piece) {
            if (!std::isfinite(x)) ++bad;
            if (std::abs(x) >= kClipped) ++clipped_frames_;
        }
        if (bad == 0) {
            decimator_.process(piece, waiting_);
        } else {
            spoilt_ = true;
            clean.assign(piece.begin(), piece.end());
            for (float& x : clean) {
                if (!std::isfinite(x)) x = 0.0F;
            }
            decimator_.process(clean, waiting_);
        }
        while (waiting_.size() >= meter_.frames()) {
            take_second(std::span<const float>(waiting_).first(meter_.frames()));
            waiting_.erase(waiting_.begin(),
                           waiting_.begin() + static_cast<std::ptrdiff_t>(meter_.frames()));
        }
    }
}

void DriftMeter::take_second(std::span<const float> second) {
    PitchSecond found;
    if (!spoilt_) found = meter_.measure(second);
    ++seconds_;
    if (spoilt_) {
        ++spoilt_seconds_;
    } else if (found.state == ToneState::none) {
        ++none_;
    } else if (found.state == ToneState::at_edge) {
        ++edge_;
        edge_hz_ = found.pitch_hz;
    } else if (found.state == ToneState::two) {
        ++rivalled_;
        other_hz_ = found.second_hz;
    }
    const bool measured = found.state == ToneState::one;
    if (measured) {
        ++measured_;
        snr_sum_ += found.snr_2400hz_db;
        curve_.add(found);
    } else {
        curve_.add_none();
    }
    jumps_.add(measured, found);
    wander_.add(measured, found);
    spoilt_ = false;
}

Status DriftMeter::what_is_wrong() const {
    const double length_s = static_cast<double>(frames_) / config_.sample_rate_hz;
    if (length_s < kShortestS) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("audio: {:.1f} s are too short; at least {} s are needed",
                                 length_s, kShortestS)};
    }
    if (rivalled_ > measured_) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format(
                "audio: two tones (the other near {:.0f} Hz) in {} of {} s; give one steady "
                "carrier, or name narrower limits of pitch",
                other_hz_, rivalled_, seconds_)};
    }
    if (edge_ > measured_) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format(
                "audio: the tone stands at the edge of what is looked at (near {:.0f} Hz; {} to {} "
                "Hz) in {} of {} s; tune it to the middle",
                edge_hz_, config_.low_hz, config_.high_hz, edge_, seconds_)};
    }
    if (measured_ < kFewestSeconds || 20 * measured_ < seconds_) {
        return Error{
            ErrorCode::not_found,
            fmt::format("audio: no steady tone between {} and {} Hz: it was there in {} of {} s",
                        config_.low_hz, config_.high_hz, measured_, seconds_)};
    }
    return check_marks(config_.supply, config_.power, length_s);
}

// The clock's error is the same in all pitches, so it belongs to pitches, not to their changes of a few hertz.
Figure DriftMeter::with_clock(const Figure& pitch) const {
    return {pitch.value,
            std::hypot(pitch.uncertainty_95, 1e-6 * config_.clock_error_ppm * pitch.value)};
}

Result<Drift> DriftMeter::finish() {
    if (Status s = what_is_wrong(); !s) return s.error();
    Drift drift;
    drift.length_s = static_cast<double>(frames_) / config_.sample_rate_hz;
    drift.measured_share = static_cast<double>(measured_) / static_cast<double>(seconds_);
    drift.snr_2400hz_db = snr_sum_ / static_cast<double>(measured_);
    const auto points = curve_.points();
    std::size_t first = 0, last = points.size() - 1;
    while (points[first].seconds == 0) ++first;
    while (points[last].seconds == 0) --last;
    const double window_s = std::clamp(0.1 * drift.length_s, 3.0 * curve_.step_s(),
                                       std::max(kMinuteS, 3.0 * curve_.step_s()));
    const double from_s = static_cast<double>(first) * curve_.step_s();
    const double to_s = static_cast<double>(last + 1) * curve_.step_s();
    const auto start = mean_pitch(curve_, from_s, from_s + window_s);
    const auto end = mean_pitch(curve_, to_s - window_s, to_s);
    const Figure unknown{points[first].pitch_hz, config_.high_hz};
    drift.pitch_at_start_hz = with_clock(start.value_or(unknown));
    drift.pitch_at_end_hz = with_clock(end.value_or(unknown));
    drift.total_drift_hz = difference(end.value_or(unknown), start.value_or(unknown));
    drift.settled_s = settled_from(curve_, config_.within_hz, config_.for_s);
    drift.most_in_stretch_hz = greatest_span(curve_, config_.for_s, 0.5 * drift.length_s);
    drift.jumps = jumps_.jumps();
    drift.wander = wander_.result();
    drift.supply = supply_effects(curve_, config_.supply);
    drift.retraces = retraces(curve_, config_.power);
    const auto remark = [&](long count, const std::string& why) {
        if (count > 0)
            drift.remarks.push_back(
                fmt::format("{} of {} s were not measured: {}", count, seconds_, why));
    };
    remark(none_, "no steady tone");
    remark(rivalled_, "a second tone");
    remark(edge_, "the tone at the edge of what is looked at");
    remark(spoilt_seconds_, "samples that are no numbers");
    if (1000 * clipped_frames_ > frames_) {
        drift.remarks.push_back(fmt::format(
            "{:.1f} % of the audio is clipped: the pitch stands, the level does not",
            100.0 * static_cast<double>(clipped_frames_) / static_cast<double>(frames_)));
    }
    drift.curve = curve_;
    return drift;
}

}  // namespace skedlark::bench
