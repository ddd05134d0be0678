#include "dsp/audio/capture_buffer.h"

#include <time.h>

#include <algorithm>

namespace skedlark::audio {

std::int64_t steady_now_ns() noexcept {
    timespec now{};
    clock_gettime(CLOCK_BOOTTIME, &now);
    return std::int64_t{1'000'000'000} * now.tv_sec + now.tv_nsec;
}

CaptureBuffer::CaptureBuffer(int channel, int capacity_frames)
    : channel_(channel), samples_(static_cast<std::size_t>(capacity_frames)) {}

void CaptureBuffer::put(const float* interleaved, int frames, int channels,
                        bool overflow) noexcept {
    put_at(steady_now_ns(), interleaved, frames, channels, overflow);
}

void CaptureBuffer::put_at(std::int64_t time_ns, const float* interleaved, int frames, int channels,
                           bool overflow) noexcept {
    if (paused_.load(std::memory_order_relaxed)) return;
    last_put_ns_.store(time_ns, std::memory_order_relaxed);
    overflowed_ = overflowed_ || overflow;
    const bool fits = samples_.write_available() >= static_cast<std::size_t>(frames) &&
                      marks_.write_available() > 0;
    if (interleaved == nullptr || !fits) {
        dropped_ += frames;
        return;
    }
    const float scale = 1.0F / static_cast<float>(channels);
    for (int at = 0; at < frames;) {
        const int size = std::min(frames - at, static_cast<int>(scratch_.size()));
        for (int i = 0; i < size; ++i) {
            const float* frame = interleaved + (at + i) * channels;
            float value = 0.0F;
            if (channel_ >= 0) {
                value = frame[std::min(channel_, channels - 1)];
            } else {
                for (int c = 0; c < channels; ++c) value += frame[c];
                value *= scale;
            }
            scratch_[static_cast<std::size_t>(i)] = value;
        }
        samples_.push(scratch_.data(), static_cast<std::size_t>(size));
        at += size;
    }
    marks_.push({time_ns, frames, dropped_, overflowed_,
                 restarted_.exchange(false, std::memory_order_relaxed)});
    dropped_ = 0;
    overflowed_ = false;
}

std::optional<BlockMark> CaptureBuffer::next_block() noexcept {
    BlockMark mark;
    if (!marks_.pop(mark)) return std::nullopt;
    return mark;
}

int CaptureBuffer::take(std::span<float> out) noexcept {
    return static_cast<int>(samples_.pop(out.data(), out.size()));
}

}  // namespace skedlark::audio
