#include "gui/copy/audio_ring.h"

#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {
constexpr float kFullScale = 32767.0F;

std::size_t slot_of(FrameIndex frame, std::size_t size) {
    return static_cast<std::size_t>(frame) % size;
}
}  // namespace

AudioRing::AudioRing(FrameIndex capacity) : ring_(static_cast<std::size_t>(capacity)) {}

void AudioRing::start(FrameIndex first_frame) { begin_ = end_ = first_frame; }

void AudioRing::add(std::span<const float> audio) {
    for (const float sample : audio) {
        // A sample that is no number is kept as silence.
        const float value = std::isfinite(sample) ? std::clamp(sample, -1.0F, 1.0F) : 0.0F;
        ring_[slot_of(end_, ring_.size())] =
            static_cast<std::int16_t>(std::lround(kFullScale * value));
        ++end_;
    }
    begin_ = std::max(begin_, end_ - static_cast<FrameIndex>(ring_.size()));
}

std::vector<float> AudioRing::stretch(FrameIndex from, FrameIndex to) const {
    from = std::max(from, begin_);
    to = std::min(to, end_);
    std::vector<float> audio;
    if (to <= from) return audio;
    audio.reserve(static_cast<std::size_t>(to - from));
    for (FrameIndex frame = from; frame < to; ++frame) {
        audio.push_back(static_cast<float>(ring_[slot_of(frame, ring_.size())]) / kFullScale);
    }
    return audio;
}

}  // namespace skedlark::gui
