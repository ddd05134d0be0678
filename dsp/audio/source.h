// Where samples come from: a file, a pipe or a sound card, all read the same way.
//
// Stage:   audio. Out: mono float blocks with a 64-bit frame index.
// Units:   audio 1.0 = full scale; frames of sample_rate_hz().
// Shape:   read() fills at most out.size() frames; fewer, or none, does not mean the end.
// Time:    first_frame counts from the start of the source and includes lost frames, so that
//          first_frame / sample_rate_hz() stays true to the clock.
// Errors:  read() gives what there is first and the error afterwards; after an error or the end
//          every further read() says the same again.
// Threads: read() from one thread; request_stop() from any thread or a signal handler.
// Source:  none
// Checked: tests/dsp/audio/source_test.cpp
#pragma once

#include <atomic>
#include <cstdint>
#include <optional>
#include <span>
#include <string>

#include "dsp/core/result.h"
#include "dsp/core/units.h"

namespace skedlark::audio {

inline constexpr double kMinSampleRateHz = 8000.0;
inline constexpr double kMaxSampleRateHz = 192000.0;
// Above this a float sample is damage, not sound: a file scaled to 16-bit numbers reaches 32768.
inline constexpr float kMaxSampleMagnitude = 1.0e6F;

struct ReadResult {
    int frames = 0;              // frames written to the front of the block
    FrameIndex first_frame = 0;  // index of the first of them, lost frames counted
    FrameIndex lost_frames = 0;  // lost just before first_frame; may come with frames == 0
    std::string lost_reason;  // told to the operator where frames were lost or their number unknown
    bool lost = false;        // these frames are zeros that stand for lost audio
    bool end = false;         // nothing follows
};

class Source {
 public:
    Source() = default;
    Source(const Source&) = delete;
    Source& operator=(const Source&) = delete;
    virtual ~Source() = default;

    [[nodiscard]] virtual double sample_rate_hz() const = 0;
    // Empty: live, a pipe, or a header that does not say.
    [[nodiscard]] virtual std::optional<FrameIndex> total_frames() const = 0;
    // As shown to the operator: the file's path, the device's name.
    [[nodiscard]] virtual std::string name() const = 0;
    // Paced by a clock outside: read() may give nothing for a while, at most about 0.2 s a call.
    [[nodiscard]] virtual bool is_live() const = 0;

    // NaN, infinity and values above kMaxSampleMagnitude become 0 and are counted.
    [[nodiscard]] Result<ReadResult> read(std::span<float> out);
    [[nodiscard]] virtual std::int64_t bad_samples() const noexcept { return bad_samples_; }

    // The next read() gives what is at hand, then the end.
    virtual void request_stop() noexcept { stop_.store(true, std::memory_order_relaxed); }
    [[nodiscard]] bool stop_requested() const noexcept {
        return stop_.load(std::memory_order_relaxed);
    }

 protected:
    [[nodiscard]] virtual Result<ReadResult> do_read(std::span<float> out) = 0;

 private:
    static_assert(std::atomic<bool>::is_always_lock_free);  // or no signal handler may use it
    std::atomic<bool> stop_{false};
    std::int64_t bad_samples_ = 0;
};

}  // namespace skedlark::audio
