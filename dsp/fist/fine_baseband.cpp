#include "dsp/fist/fine_baseband.h"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>

#include "dsp/core/vector_clones.h"
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

constexpr std::size_t kTaps = 2 * kHalfSpan + 1;
constexpr std::size_t kLanes = 8;
constexpr std::size_t kPadded = (kTaps + kLanes - 1) / kLanes * kLanes;  // the rest weighs 0

// Sum over one window, in lanes, so that it is compiled for wide vectors.
SKEDLARK_VECTOR_CLONES
std::complex<float> weighed_sum(const float* weights, const float* re, const float* im) {
    float sum_re[kLanes] = {};
    float sum_im[kLanes] = {};
    for (std::size_t n = 0; n < kPadded; n += kLanes) {
        for (std::size_t lane = 0; lane < kLanes; ++lane) {
            sum_re[lane] += weights[n + lane] * re[n + lane];
            sum_im[lane] += weights[n + lane] * im[n + lane];
        }
    }
    std::complex<float> sum{};
    for (std::size_t lane = 0; lane < kLanes; ++lane) {
        sum += std::complex<float>(sum_re[lane], sum_im[lane]);
    }
    return sum;
}

// The audio with the track's pitch taken to 0 Hz, a stretch at a time; zeros beyond its ends.
class Mixer {
 public:
    Mixer(std::span<const float> audio, std::span<const tone::BasebandFrame> track)
        : audio_(audio), track_(track), weights_(taps()), re_(kHeld, 0.0F), im_(kHeld, 0.0F) {
        weights_.resize(kPadded, 0.0F);
        from_ = -static_cast<std::ptrdiff_t>(kHalfSpan);
        step_ = step_at(0);
        fill(static_cast<std::size_t>(kHalfSpan));
    }
    // Centres must not go back.
    [[nodiscard]] std::complex<float> filtered(std::ptrdiff_t centre) {
        const std::ptrdiff_t first = centre - kHalfSpan;
        if (first + static_cast<std::ptrdiff_t>(kPadded) >
            from_ + static_cast<std::ptrdiff_t>(kHeld)) {
            const auto drop = static_cast<std::size_t>(first - from_);
            std::copy(re_.begin() + static_cast<std::ptrdiff_t>(drop), re_.end(), re_.begin());
            std::copy(im_.begin() + static_cast<std::ptrdiff_t>(drop), im_.end(), im_.begin());
            from_ = first;
            fill(kHeld - drop);
        }
        const auto place = static_cast<std::size_t>(first - from_);
        return weighed_sum(weights_.data(), re_.data() + place, im_.data() + place);
    }

 private:
    static constexpr std::size_t kHeld = 4096;

    [[nodiscard]] std::complex<double> step_at(std::size_t frame) const {
        const double hz = static_cast<double>(track_[frame].pitch_hz);
        return std::polar(1.0, -2.0 * std::numbers::pi * hz / kWorkRateHz);
    }
    // What is held, from this place on, with the audio that comes next.
    void fill(std::size_t place) {
        for (; place < kHeld; ++place, ++next_) {
            const auto n = static_cast<std::size_t>(next_);
            re_[place] = im_[place] = 0.0F;
            if (n >= audio_.size()) continue;
            const std::size_t before = at_;
            while (at_ + 1 < track_.size() && track_[at_ + 1].at_frame <= next_) ++at_;
            if (at_ != before) {
                step_ = step_at(at_);
                turned_ /= std::abs(turned_);  // what rounding has added
            }
            if (std::isfinite(audio_[n])) {
                re_[place] = 2.0F * audio_[n] * static_cast<float>(turned_.real());
                im_[place] = 2.0F * audio_[n] * static_cast<float>(turned_.imag());
            }
            turned_ = {turned_.real() * step_.real() - turned_.imag() * step_.imag(),
                       turned_.real() * step_.imag() + turned_.imag() * step_.real()};
        }
    }

    std::span<const float> audio_;
    std::span<const tone::BasebandFrame> track_;
    std::vector<float> weights_;
    std::vector<float> re_, im_;
    std::ptrdiff_t from_ = 0;  // audio frame of the first held
    std::ptrdiff_t next_ = 0;  // to be mixed
    std::size_t at_ = 0;
    std::complex<double> step_{1.0, 0.0};
    std::complex<double> turned_{1.0, 0.0};
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
    Mixer mixer(audio, track);
    const auto scale = static_cast<float>(fine_noise_hz() / tone::baseband_noise_hz());
    const int count = static_cast<int>(audio.size() / kWorkFramesPerFine);
    out.z.reserve(static_cast<std::size_t>(count));
    std::size_t at = 0;
    for (int k = 0; k < count; ++k) {
        const std::ptrdiff_t centre = static_cast<std::ptrdiff_t>(k) * kWorkFramesPerFine;
        while (at + 1 < track.size() && track[at + 1].at_frame <= centre) ++at;
        out.z.push_back(mixer.filtered(centre));
        out.noise_variance.push_back(track[at].noise_variance * scale);
        out.lost.push_back(track[at].lost ? 1 : 0);
        out.pitch_hz.push_back(track[at].pitch_hz);
    }
    return out;
}

}  // namespace skedlark::fist
