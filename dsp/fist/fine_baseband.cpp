#include "dsp/fist/fine_baseband.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

#include "dsp/tone/baseband.h"

namespace skedlark::fist {
namespace {

// 8 ms to each side: the foot of an edge is not smeared further than that.
constexpr int kHalfSpan = 64;
constexpr double kCutHz = 220.0;
// The follower settles over so much, run backwards, before it begins.
constexpr double kSettleS = 20.0;
constexpr double kPitchErrorHz = 2.0;

std::vector<float> low_pass() {
    std::vector<double> taps(2 * kHalfSpan + 1);
    double sum = 0.0;
    for (int n = -kHalfSpan; n <= kHalfSpan; ++n) {
        const double x = 2.0 * kCutHz / kWorkRateHz * n;
        const double sinc = n == 0 ? 1.0 : std::sin(std::numbers::pi * x) / (std::numbers::pi * x);
        const double turn = std::numbers::pi * (n + kHalfSpan) / kHalfSpan;
        const double window = 0.42 - 0.5 * std::cos(turn) + 0.08 * std::cos(2.0 * turn);
        taps[static_cast<std::size_t>(n + kHalfSpan)] = sinc * window;
        sum += sinc * window;
    }
    std::vector<float> out;
    for (const double tap : taps) out.push_back(static_cast<float>(tap / sum));
    return out;
}

const std::vector<float>& taps() {
    static const std::vector<float> made = low_pass();
    return made;
}

// Where each work-rate frame lies among the lost stretches, in order.
class LostAt {
 public:
    explicit LostAt(std::span<const LostStretch> lost) : lost_(lost) {}
    bool operator()(FrameIndex frame) {
        while (next_ < lost_.size() && frame >= lost_[next_].to) ++next_;
        return next_ < lost_.size() && frame >= lost_[next_].from;
    }

 private:
    std::span<const LostStretch> lost_;
    std::size_t next_ = 0;
};

}  // namespace

double fine_noise_hz() {
    double energy = 0.0;
    for (const float tap : taps()) energy += static_cast<double>(tap) * static_cast<double>(tap);
    return energy * kWorkRateHz;
}

void replace_revised(std::vector<tone::BasebandFrame>& frames,
                     std::span<const tone::BasebandFrame> revised) {
    for (const tone::BasebandFrame& frame : revised) {
        const auto old = std::lower_bound(
            frames.begin(), frames.end(), frame.at_frame,
            [](const tone::BasebandFrame& f, FrameIndex at) { return f.at_frame < at; });
        if (old != frames.end() && old->at_frame == frame.at_frame) *old = frame;
    }
}

Result<tone::Follower> settled_follower(std::span<const float> audio, double pitch_hz,
                                        FrameIndex start_frame) {
    tone::FollowerConfig config;
    config.pitch_hz = pitch_hz;
    config.pitch_error_hz = kPitchErrorHz;
    auto follower = tone::Follower::create(config);
    if (!follower) return follower.error();
    const auto settle =
        std::min(audio.size(), static_cast<std::size_t>(skedlark::frames_from_seconds(kSettleS)));
    std::vector<float> backwards(audio.rend() - static_cast<std::ptrdiff_t>(settle), audio.rend());
    std::vector<tone::BasebandFrame> frames;
    follower->process(backwards, frames);
    follower->restart_keeping_pitch(start_frame);
    return follower;
}

Result<std::vector<tone::BasebandFrame>> follow_tone(std::span<const float> audio, double pitch_hz,
                                                     std::span<const LostStretch> lost) {
    auto follower = settled_follower(audio, pitch_hz);
    if (!follower) return follower.error();
    std::vector<tone::BasebandFrame> frames;
    // A tail of silence lets the last frames come out of the filters.
    std::vector<float> tail(static_cast<std::size_t>(kWorkRateHz) / 10, 0.0F);
    constexpr std::size_t kBlock = 4000;
    LostAt is_lost(lost);
    for (std::size_t from = 0; from < audio.size();) {
        const bool gone = is_lost(static_cast<FrameIndex>(from));
        std::size_t to = from;
        while (to < audio.size() && to - from < kBlock &&
               is_lost(static_cast<FrameIndex>(to)) == gone) {
            ++to;
        }
        follower->process(audio.subspan(from, to - from), frames, nullptr, gone);
        replace_revised(frames, follower->revised_frames());
        from = to;
    }
    follower->process(tail, frames, nullptr, true);
    std::erase_if(frames, [&](const tone::BasebandFrame& frame) {
        return frame.at_frame >= static_cast<FrameIndex>(audio.size());
    });
    return frames;
}

FineBaseband bring_down(std::span<const float> audio, std::span<const tone::BasebandFrame> track) {
    FineBaseband out;
    if (track.empty()) return out;
    const auto frames = static_cast<std::ptrdiff_t>(audio.size());
    std::vector<std::complex<float>> mixed(audio.size());
    std::size_t at = 0;
    std::complex<double> turned{1.0, 0.0};
    const auto step_at = [&](std::size_t frame) {
        const double hz = static_cast<double>(track[frame].pitch_hz);
        return std::polar(1.0, -2.0 * std::numbers::pi * hz / kWorkRateHz);
    };
    std::complex<double> step = step_at(0);
    for (std::ptrdiff_t n = 0; n < frames; ++n) {
        const std::size_t before = at;
        while (at + 1 < track.size() && track[at + 1].at_frame <= n) ++at;
        if (at != before) {
            step = step_at(at);
            turned /= std::abs(turned);  // what rounding has added
        }
        const float sample = audio[static_cast<std::size_t>(n)];
        if (std::isfinite(sample)) {
            mixed[static_cast<std::size_t>(n)] = 2.0F * sample * std::complex<float>(turned);
        }
        turned *= step;
    }
    const std::vector<float>& weights = taps();
    const auto scale = static_cast<float>(fine_noise_hz() / tone::baseband_noise_hz());
    at = 0;
    const int count = static_cast<int>(frames / kWorkFramesPerFine);
    out.z.reserve(static_cast<std::size_t>(count));
    for (int k = 0; k < count; ++k) {
        const std::ptrdiff_t centre = static_cast<std::ptrdiff_t>(k) * kWorkFramesPerFine;
        std::complex<float> sum{};
        const std::ptrdiff_t from = std::max<std::ptrdiff_t>(0, centre - kHalfSpan);
        const std::ptrdiff_t to = std::min<std::ptrdiff_t>(frames - 1, centre + kHalfSpan);
        for (std::ptrdiff_t n = from; n <= to; ++n) {
            sum += weights[static_cast<std::size_t>(n - centre + kHalfSpan)] *
                   mixed[static_cast<std::size_t>(n)];
        }
        while (at + 1 < track.size() && track[at + 1].at_frame <= centre) ++at;
        out.z.push_back(sum);
        out.noise_variance.push_back(track[at].noise_variance * scale);
        out.lost.push_back(track[at].lost ? 1 : 0);
        out.pitch_hz.push_back(track[at].pitch_hz);
    }
    return out;
}

}  // namespace skedlark::fist
