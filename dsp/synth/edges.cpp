#include "dsp/synth/edges.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace skedlark::synth {
namespace {

// 10 to 90 % of a raised cosine takes this share of its whole length; of an RC, ln 9 time
// constants.
const double kRaisedCosineShare = 1.0 - 2.0 * std::acos(0.8) / std::numbers::pi;
const double kExponentialSpan = std::log(9.0);

double reach(EdgeShape shape, double rise_frames) {
    switch (shape) {
        case EdgeShape::raised_cosine:
            return std::max(0.5, 0.5 * rise_frames / kRaisedCosineShare);
        case EdgeShape::exponential:
            return std::max(0.1, rise_frames / kExponentialSpan);
        case EdgeShape::hard:
            break;
    }
    return 0.5;
}

}  // namespace

KeyingEdges::KeyingEdges(const std::vector<Mark>& marks, EdgeShape shape, double rise_s,
                         double sample_rate_hz)
    : shape_(shape), reach_frames_(reach(shape, rise_s * sample_rate_hz)) {
    // An RC passes one half ln 2 time constants after the key; the key is that much early.
    const double early = shape == EdgeShape::exponential ? std::numbers::ln2 * reach_frames_ : 0.0;
    edges_.reserve(2 * marks.size());
    for (const Mark& mark : marks) {
        edges_.push_back({mark.on_s * sample_rate_hz - early, 1.0});
        edges_.push_back({mark.off_s * sample_rate_hz - early, -1.0});
    }
}

KeyingEdges KeyingEdges::held_down(double sample_rate_hz) {
    KeyingEdges edges({}, EdgeShape::hard, 0.0, sample_rate_hz);
    edges.settled_ = 1.0;
    return edges;
}

double KeyingEdges::ramp(double frames_after) const {
    const double x = std::clamp(frames_after / reach_frames_, -1.0, 1.0);
    if (shape_ == EdgeShape::hard) return 0.5 * (1.0 + x);
    return 0.5 * (1.0 + std::sin(0.5 * std::numbers::pi * x));
}

float KeyingEdges::next_linear() {
    const auto now = static_cast<double>(frame_);
    while (first_open_ < edges_.size() && edges_[first_open_].at_frame + reach_frames_ <= now) {
        settled_ += edges_[first_open_].step;
        ++first_open_;
    }
    double amplitude = settled_;
    for (std::size_t i = first_open_; i < edges_.size() && edges_[i].at_frame - reach_frames_ < now;
         ++i) {
        amplitude += edges_[i].step * ramp(now - edges_[i].at_frame);
    }
    return static_cast<float>(amplitude);
}

float KeyingEdges::next_exponential() {
    const auto now = static_cast<double>(frame_);
    double from = now - 1.0;
    while (first_open_ < edges_.size() && edges_[first_open_].at_frame <= now) {
        const Edge& edge = edges_[first_open_++];
        const double until = std::max(from, edge.at_frame);
        level_ = settled_ + (level_ - settled_) * std::exp((from - until) / reach_frames_);
        settled_ += edge.step;
        from = until;
    }
    level_ = settled_ + (level_ - settled_) * std::exp((from - now) / reach_frames_);
    return static_cast<float>(level_);
}

void KeyingEdges::fill(std::span<float> amplitude) {
    for (float& value : amplitude) {
        value = shape_ == EdgeShape::exponential ? next_exponential() : next_linear();
        ++frame_;
    }
}

}  // namespace skedlark::synth
