#include "dsp/synth/station.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "dsp/core/units.h"

namespace skedlark::synth {

StationSignal::StationSignal(const StationConfig& config, const std::vector<Mark>& marks,
                             double amplitude, double sample_rate_hz, std::uint64_t seed)
    : edges_(config.carrier ? KeyingEdges::held_down(sample_rate_hz)
                            : KeyingEdges(marks, config.edges, config.rise_s, sample_rate_hz)),
      note_(config.note, config.offset_hz, marks, sample_rate_hz, derive_seed(seed, "note")),
      amplitude_(amplitude),
      paths_(config.channel.paths),
      delay_frames_(config.channel.delay_s * sample_rate_hz),
      delay_turn_(2.0 * std::numbers::pi * config.offset_hz * config.channel.delay_s) {
    const double spread_hz = config.channel.spread_hz;
    if (paths_ >= 1) first_.emplace(spread_hz, sample_rate_hz, derive_seed(seed, "path", 1));
    if (paths_ == 2) {
        second_.emplace(spread_hz, sample_rate_hz, derive_seed(seed, "path", 2));
        history_.resize(static_cast<std::size_t>(delay_frames_) + 2);
    }
}

StationSignal::Sent StationSignal::delayed() const {
    const auto whole = static_cast<std::size_t>(delay_frames_);
    const double part = delay_frames_ - static_cast<double>(whole);
    const std::size_t size = history_.size();
    const Sent& later = history_[(newest_ + size - whole) % size];
    const Sent& earlier = history_[(newest_ + size - whole - 1) % size];
    return {later.amplitude + part * (earlier.amplitude - later.amplitude),
            later.phase + part * (earlier.phase - later.phase)};
}

void StationSignal::add(std::span<std::complex<double>> sum) {
    for (auto& total : sum) {
        float key = 0.0F;
        edges_.fill({&key, 1});
        const TransmitterNote::Sample note = note_.next();
        const double amplitude = amplitude_ * static_cast<double>(key) * note.hum;
        if (paths_ == 0) {
            if (amplitude != 0.0) total += std::polar(amplitude, note.phase);
            continue;
        }
        first_gain_ = first_->next();
        if (paths_ == 1) {
            if (amplitude != 0.0) total += first_gain_ * std::polar(amplitude, note.phase);
            continue;
        }
        first_gain_ *= std::numbers::sqrt2 / 2.0;
        second_gain_ = second_->next() * (std::numbers::sqrt2 / 2.0);
        newest_ = (newest_ + 1) % history_.size();
        history_[newest_] = {amplitude, note.phase};
        const Sent late = delayed();
        if (amplitude != 0.0) total += first_gain_ * std::polar(amplitude, note.phase);
        if (late.amplitude != 0.0) total += second_gain_ * std::polar(late.amplitude, late.phase);
    }
}

double StationSignal::channel_gain_db() const {
    const std::complex<double> gain = first_gain_ + second_gain_ * std::polar(1.0, -delay_turn_);
    return db_from_power(std::max(1e-12, std::norm(gain)));
}

}  // namespace skedlark::synth
