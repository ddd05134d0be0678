#include "dsp/synth/channel.h"

#include <array>
#include <cmath>
#include <numbers>
#include <string>

namespace skedlark::synth {
namespace {

constexpr auto kChannels = std::to_array<NamedChannel>({
    {"low-quiet", "two paths 0.5 ms apart, spread 0.5 Hz", {2, 0.5, 0.0005}},
    {"low-moderate", "two paths 2 ms apart, spread 1.5 Hz", {2, 1.5, 0.002}},
    {"low-disturbed", "two paths 6 ms apart, spread 10 Hz", {2, 10.0, 0.006}},
    {"mid-quiet", "two paths 0.5 ms apart, spread 0.1 Hz", {2, 0.1, 0.0005}},
    {"mid-moderate", "two paths 1 ms apart, spread 0.5 Hz", {2, 0.5, 0.001}},
    {"mid-disturbed", "two paths 2 ms apart, spread 1 Hz", {2, 1.0, 0.002}},
    {"mid-vertical", "near-vertical, two paths 7 ms apart, spread 1 Hz", {2, 1.0, 0.007}},
    {"high-quiet", "two paths 1 ms apart, spread 0.5 Hz", {2, 0.5, 0.001}},
    {"high-moderate", "two paths 3 ms apart, spread 10 Hz", {2, 10.0, 0.003}},
    {"high-disturbed", "two paths 7 ms apart, spread 30 Hz", {2, 30.0, 0.007}},
    {"flutter", "two paths 0.5 ms apart, spread 10 Hz", {2, 10.0, 0.0005}},
    {"slow", "one path, spread 0.05 Hz: fades of some 20 s", {1, 0.05, 0.0}},
});

// Nodes for each hertz of spread: straight lines between them stay 70 dB below the gain.
constexpr double kNodesPerSpread = 64.0;
// The filter's Gaussian is cut where it has fallen to exp(-12.5).
constexpr double kFilterSigmas = 5.0;

}  // namespace

std::span<const NamedChannel> named_channels() { return kChannels; }

Result<ChannelConfig> channel_by_name(std::string_view name) {
    std::string names;
    for (const NamedChannel& named : kChannels) {
        if (named.name == name) return named.channel;
        names += (names.empty() ? "" : ", ") + std::string(named.name);
    }
    return Error{ErrorCode::not_found, "channel: \"" + std::string(name) + "\", allowed " + names};
}

FadingGain::FadingGain(double spread_hz, double sample_rate_hz, std::uint64_t seed)
    : random_(seed) {
    if (spread_hz <= 0.0) {
        from_ = std::polar(1.0, 2.0 * std::numbers::pi * random_.uniform());
        to_ = from_;
        return;
    }
    // Power spectrum exp(-f^2 / (2 s^2)), s = spread / 2, needs an impulse response whose own
    // standard deviation is 1 / (sqrt(2) pi spread) seconds.
    const double sigma_nodes = kNodesPerSpread / (std::numbers::sqrt2 * std::numbers::pi);
    const int half = static_cast<int>(std::ceil(kFilterSigmas * sigma_nodes));
    double energy = 0.0;
    for (int i = -half; i <= half; ++i) {
        const double x = i / sigma_nodes;
        taps_.push_back(std::exp(-0.5 * x * x));
        energy += taps_.back() * taps_.back();
    }
    for (double& tap : taps_) tap /= std::sqrt(energy);
    white_.resize(taps_.size());
    for (auto& draw : white_) {
        draw = {random_.normal() * std::numbers::sqrt2 / 2.0,
                random_.normal() * std::numbers::sqrt2 / 2.0};
    }
    step_ = kNodesPerSpread * spread_hz / sample_rate_hz;
    from_ = make_node();
    to_ = make_node();
}

std::complex<double> FadingGain::make_node() {
    white_[oldest_] = {random_.normal() * std::numbers::sqrt2 / 2.0,
                       random_.normal() * std::numbers::sqrt2 / 2.0};
    oldest_ = (oldest_ + 1) % white_.size();
    std::complex<double> sum;
    for (std::size_t i = 0; i < taps_.size(); ++i) {
        const std::size_t at = oldest_ + i;
        sum += taps_[i] * white_[at < white_.size() ? at : at - white_.size()];
    }
    return sum;
}

std::complex<double> FadingGain::next() {
    const std::complex<double> gain = from_ + place_ * (to_ - from_);
    place_ += step_;
    while (place_ >= 1.0) {
        place_ -= 1.0;
        from_ = to_;
        to_ = make_node();
    }
    return gain;
}

}  // namespace skedlark::synth
