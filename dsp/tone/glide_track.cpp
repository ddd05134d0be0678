#include "dsp/tone/glide_track.h"

#include <algorithm>
#include <cmath>

namespace skedlark::tone {
namespace {

// Beyond the measurements, of the time that the pace as it is would take to zero beat.
constexpr double kReach = 1.3;
constexpr double kMostReachS = 40.0;

}  // namespace

GlideTrack::GlideTrack(std::span<const GlideMeasurement> measured, double rate_hz_per_s)
    : from_s_(measured.front().at_s), to_s_(measured.back().at_s) {
    const double before_s = -measured.front().pitch_hz / rate_hz_per_s;
    const double after_s = measured.back().pitch_hz / rate_hz_per_s;
    start_s_ = from_s_ - std::clamp(kReach * before_s, 0.0, kMostReachS) - kStepS;
    const double end_s = to_s_ + std::clamp(kReach * after_s, 0.0, kMostReachS) + kStepS;
    nodes_.resize(static_cast<std::size_t>((end_s - start_s_) / kStepS) + 2U);
    smooth(measured, rate_hz_per_s);
    find_zero_beat();
}

void GlideTrack::smooth(std::span<const GlideMeasurement> measured, double rate_hz_per_s) {
    constexpr double h = kStepS;
    const double q = std::pow(kWander * rate_hz_per_s, 2.0);
    const double qxx = q * h * h * h / 3.0;
    const double qxv = q * h * h / 2.0;
    const double qvv = q * h;
    std::vector<Node> predicted(nodes_.size());
    Node now{measured.front().pitch_hz + rate_hz_per_s * (from_s_ - start_s_), -rate_hz_per_s, 1e8,
             0.0, std::pow(0.5 * rate_hz_per_s, 2.0)};
    std::size_t next = 0;
    for (std::size_t n = 0; n < nodes_.size(); ++n) {
        if (n > 0) {
            now.x += h * now.v;
            now.xx += h * (2.0 * now.xv + h * now.vv) + qxx;
            now.xv += h * now.vv + qxv;
            now.vv += qvv;
        }
        predicted[n] = now;
        const double until_s = start_s_ + (static_cast<double>(n) + 0.5) * h;
        for (; next < measured.size() && measured[next].at_s < until_s; ++next) {
            const GlideMeasurement& one = measured[next];
            const double ahead_s = one.at_s - (start_s_ + static_cast<double>(n) * h);
            // Within half a step the slope is what it is at the node.
            const double spread = now.xx + one.sd_hz * one.sd_hz;
            const double gain_x = now.xx / spread;
            const double gain_v = now.xv / spread;
            const double off = one.pitch_hz - now.x - ahead_s * now.v;
            now.x += gain_x * off;
            now.v += gain_v * off;
            now.vv -= gain_v * now.xv;
            now.xv -= gain_x * now.xv;
            now.xx -= gain_x * now.xx;
        }
        nodes_[n] = now;
    }
    for (std::size_t n = nodes_.size() - 1; n-- > 0;) {
        const Node& ahead = predicted[n + 1];
        Node& node = nodes_[n];
        const Node& later = nodes_[n + 1];
        // gain = P F^T inverse(P ahead)
        const double a = node.xx + h * node.xv;
        const double b = node.xv;
        const double c = node.xv + h * node.vv;
        const double d = node.vv;
        const double det = ahead.xx * ahead.vv - ahead.xv * ahead.xv;
        const double gxx = (a * ahead.vv - b * ahead.xv) / det;
        const double gxv = (b * ahead.xx - a * ahead.xv) / det;
        const double gvx = (c * ahead.vv - d * ahead.xv) / det;
        const double gvv = (d * ahead.xx - c * ahead.xv) / det;
        const double dx = later.x - ahead.x;
        const double dv = later.v - ahead.v;
        node.x += gxx * dx + gxv * dv;
        node.v += gvx * dx + gvv * dv;
        const double exx = later.xx - ahead.xx;
        const double exv = later.xv - ahead.xv;
        const double evv = later.vv - ahead.vv;
        node.xx += gxx * (gxx * exx + gxv * exv) + gxv * (gxx * exv + gxv * evv);
        node.xv += gxx * (gvx * exx + gvv * exv) + gxv * (gvx * exv + gvv * evv);
        node.vv += gvx * (gvx * exx + gvv * exv) + gvv * (gvx * exv + gvv * evv);
    }
}

double GlideTrack::pitch_hz(double at_s) const {
    const double place =
        std::clamp((at_s - start_s_) / kStepS, 0.0, static_cast<double>(nodes_.size()) - 1.001);
    const auto n = static_cast<std::size_t>(place);
    const double part = place - static_cast<double>(n);
    return nodes_[n].x + part * (nodes_[n + 1].x - nodes_[n].x);
}

void GlideTrack::find_zero_beat() {
    std::size_t n = 0;
    while (n + 2 < nodes_.size() && nodes_[n + 1].x > 0.0) ++n;
    const Node& node = nodes_[n];
    const double slope = std::min(node.v, -1.0);
    zero_beat_s_ = start_s_ + static_cast<double>(n) * kStepS - node.x / slope;
    zero_beat_sd_s_ = std::sqrt(std::max(node.xx, 0.0)) / -slope;
    rate_hz_per_s_ = -slope;
}

}  // namespace skedlark::tone
