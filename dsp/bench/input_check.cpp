#include "dsp/bench/input_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::bench {
namespace {

constexpr double kSilentPeak = 1e-5;
constexpr double kMaxClippedShare = 0.001;
// A crest of a sine that is not clipped holds two equal samples, rarely three.
constexpr int kClippedRun = 4;

Error invalid(std::string message) { return {ErrorCode::invalid_value, std::move(message)}; }

}  // namespace

Status within_range(const char* field, double value, double from, double to) {
    if (value >= from && value <= to) return Done{};
    return invalid(fmt::format("{}: {} is not allowed; allowed: {} to {}", field, value, from, to));
}

Status check_stretches(const char* field, const std::vector<Stretch>& stretches, double length_s) {
    double last_s = 0.0;
    for (const Stretch& stretch : stretches) {
        if (!(stretch.from_s >= 0.0 && stretch.to_s > stretch.from_s && stretch.to_s <= length_s)) {
            return invalid(
                fmt::format("{}: {} to {} s is not allowed; allowed: a stretch inside the "
                            "recording of {:.3f} s",
                            field, stretch.from_s, stretch.to_s, length_s));
        }
        if (stretch.from_s < last_s) {
            return invalid(
                fmt::format("{}: {} to {} s begins before the one ahead of it ends ({} s); "
                            "allowed: stretches in order of time, apart from each other",
                            field, stretch.from_s, stretch.to_s, last_s));
        }
        last_s = stretch.to_s;
    }
    return Done{};
}

Status check_rate(double sample_rate_hz) {
    return within_range("sample_rate_hz", sample_rate_hz, kMinRateHz, kMaxRateHz);
}

Status check_audio(std::span<const float> audio, double sample_rate_hz, double min_length_s) {
    if (Status s = check_rate(sample_rate_hz); !s) return s;
    const double length_s = static_cast<double>(audio.size()) / sample_rate_hz;
    if (length_s < min_length_s) {
        return invalid(fmt::format("audio: {:.3f} s are too short; at least {} s are needed",
                                   length_s, min_length_s));
    }
    float peak = 0.0F;
    for (std::size_t i = 0; i < audio.size(); ++i) {
        if (!std::isfinite(audio[i])) {
            return invalid(fmt::format("audio: the sample at {:.4f} s is no number",
                                       static_cast<double>(i) / sample_rate_hz));
        }
        peak = std::max(peak, std::abs(audio[i]));
    }
    if (static_cast<double>(peak) < kSilentPeak) {
        return Error{ErrorCode::not_found,
                     "audio: silent (below -100 dBFS); is the lead plugged in, the volume up?"};
    }
    return Done{};
}

std::string lost_words(double lost_s) {
    return fmt::format(
        "{:.2f} s of the audio were lost on the way; figures of what is left may be wrong.",
        lost_s);
}

Status check_clipping(std::span<const float> audio) {
    if (audio.empty()) return Done{};
    const auto [low, high] = std::minmax_element(audio.begin(), audio.end());
    std::size_t clipped = 0;
    for (const float extreme : {*low, *high}) {
        int run = 0;
        for (const float sample : audio) {
            run = sample == extreme && extreme != 0.0F ? run + 1 : 0;
            if (run == kClippedRun) clipped += kClippedRun;
            if (run > kClippedRun) ++clipped;
        }
    }
    const double share = static_cast<double>(clipped) / static_cast<double>(audio.size());
    if (share <= kMaxClippedShare) return Done{};
    return invalid(
        fmt::format("audio: clipped, {:.1f} % of it stands at its extremes; turn the "
                    "level down until none does",
                    100.0 * share));
}

}  // namespace skedlark::bench
