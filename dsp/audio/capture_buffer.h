// The bridge from the sound card's callback to the reader: one writer, one reader, no locks.
//
// Stage:   audio. In: interleaved blocks in the callback. Out: mono samples with a mark a block.
// Units:   audio 1.0 = full scale; nanoseconds of steady_now_ns().
// Shape:   a block goes in whole or, where there is no room, is dropped whole and counted.
// Time:    a mark holds the moment of the callback.
// Errors:  none; dropped frames stand in the next mark.
// Threads: put() in the callback thread: no allocation, lock, log or system call that waits.
//          next_block() and take() in the reader's thread.
// Source:  boost::lockfree::spsc_queue
// Checked: tests/dsp/audio/capture_buffer_test.cpp
#pragma once

#include <array>
#include <atomic>
#include <boost/lockfree/spsc_queue.hpp>
#include <cstdint>
#include <optional>
#include <span>

#include "dsp/core/units.h"

namespace skedlark::audio {

// Runs on while the machine sleeps (CLOCK_BOOTTIME), so that a closed lid counts as lost audio.
[[nodiscard]] std::int64_t steady_now_ns() noexcept;

struct BlockMark {
    std::int64_t time_ns = 0;
    int frames = 0;
    FrameIndex dropped_before = 0;  // for want of room
    bool overflow = false;          // the sound system says that it lost frames
    bool restarted = false;         // first block of a stream taken up again
};

class CaptureBuffer {
 public:
    // channel counts from 0; -1 takes the mean of all. capacity_frames: what a slow reader may be
    // behind.
    CaptureBuffer(int channel, int capacity_frames);

    void put(const float* interleaved, int frames, int channels, bool overflow) noexcept;
    void put_at(std::int64_t time_ns, const float* interleaved, int frames, int channels,
                bool overflow) noexcept;
    // From here on blocks are ignored: a stream given up may still have some, and they are late.
    void pause() noexcept { paused_.store(true, std::memory_order_relaxed); }
    // Called before a stream is started again, while no stream runs.
    void resume() noexcept {
        restarted_.store(true, std::memory_order_relaxed);
        paused_.store(false, std::memory_order_relaxed);
    }
    [[nodiscard]] std::int64_t last_put_ns() const noexcept {
        return last_put_ns_.load(std::memory_order_relaxed);
    }

    // The frames of a mark must be taken before the next is asked for.
    [[nodiscard]] std::optional<BlockMark> next_block() noexcept;
    [[nodiscard]] int take(std::span<float> out) noexcept;

 private:
    static constexpr std::size_t kMarks = 4096;

    int channel_;
    boost::lockfree::spsc_queue<float> samples_;
    boost::lockfree::spsc_queue<BlockMark, boost::lockfree::capacity<kMarks>> marks_;
    std::array<float, 1024> scratch_{};
    FrameIndex dropped_ = 0;  // writer's
    bool overflowed_ = false;
    std::atomic<bool> restarted_{false};
    std::atomic<bool> paused_{false};
    std::atomic<std::int64_t> last_put_ns_{0};
};

}  // namespace skedlark::audio
