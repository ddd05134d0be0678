#include "dsp/bench/pitch_track.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace skedlark::bench {
namespace {

using Complex = std::complex<double>;
constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr double kFrameS = 0.4;
constexpr double kGridHz = 0.5;

double interpolated(const FrameTrack& track, double at_s) {
    const auto next = std::lower_bound(track.at_s.begin(), track.at_s.end(), at_s);
    if (next == track.at_s.begin()) return track.hz.front();
    if (next == track.at_s.end()) return track.hz.back();
    const auto j = static_cast<std::size_t>(next - track.at_s.begin());
    const double part = (at_s - track.at_s[j - 1]) / (track.at_s[j] - track.at_s[j - 1]);
    return track.hz[j - 1] + part * (track.hz[j] - track.hz[j - 1]);
}

}  // namespace

// Strongest frequency of each frame, by a fine grid and a parabola.
FrameTrack frame_track(const Baseband& base) {
    FrameTrack track;
    const auto length = static_cast<std::size_t>(kFrameS * base.rate_hz);
    std::vector<double> power(static_cast<std::size_t>(2.0 * kTrackHalfWidthHz / kGridHz) + 1);
    for (std::size_t from = 0; from + length <= base.samples.size(); from += length / 2) {
        for (std::size_t g = 0; g < power.size(); ++g) {
            const double hz = static_cast<double>(g) * kGridHz - kTrackHalfWidthHz;
            const Complex turn = std::polar(1.0, -kTwoPi * hz / base.rate_hz);
            Complex at = 1.0;
            Complex sum;
            for (std::size_t n = 0; n < length; ++n, at *= turn) {
                const double u = (static_cast<double>(n) + 0.5) / static_cast<double>(length);
                sum += base.samples[from + n] * at * std::sin(std::numbers::pi * u);
            }
            power[g] = std::norm(sum);
        }
        const auto best = static_cast<std::size_t>(
            std::max_element(power.begin() + 1, power.end() - 1) - power.begin());
        const double curve = power[best - 1] - 2.0 * power[best] + power[best + 1];
        const double off = curve < 0.0 ? 0.5 * (power[best - 1] - power[best + 1]) / curve : 0.0;
        track.at_s.push_back(0.5 * (base.time_s(from) + base.time_s(from + length - 1)));
        track.hz.push_back((static_cast<double>(best) + std::clamp(off, -0.5, 0.5)) * kGridHz -
                           kTrackHalfWidthHz);
    }
    return track;
}

double median(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

Line line_through(const FrameTrack& track) {
    std::vector<double> slopes;
    const std::size_t stride = 1 + track.hz.size() / 400;
    for (std::size_t i = 0; i < track.hz.size(); i += stride) {
        for (std::size_t j = i + stride; j < track.hz.size(); j += stride) {
            slopes.push_back((track.hz[j] - track.hz[i]) / (track.at_s[j] - track.at_s[i]));
        }
    }
    Line line;
    line.slope = slopes.empty() ? 0.0 : median(slopes);
    std::vector<double> levels;
    for (std::size_t i = 0; i < track.hz.size(); ++i)
        levels.push_back(track.hz[i] - line.slope * track.at_s[i]);
    line.at_middle = median(levels);
    return line;
}

// Median of three neighbours, so that one wrong frame does not count.
std::vector<double> without_outliers(const std::vector<double>& hz) {
    std::vector<double> out = hz;
    for (std::size_t i = 1; i + 1 < hz.size(); ++i) out[i] = median({hz[i - 1], hz[i], hz[i + 1]});
    return out;
}

// Phase to take out further where the notch has to follow, one a sample of the baseband.
std::vector<double> following_phase(const Baseband& base, const FrameTrack& track) {
    std::vector<double> phase(base.samples.size());
    for (std::size_t k = 1; k < phase.size(); ++k) {
        phase[k] = phase[k - 1] +
                   kTwoPi / base.rate_hz * interpolated(track, base.time_s(k) - 0.5 / base.rate_hz);
    }
    return phase;
}

}  // namespace skedlark::bench
