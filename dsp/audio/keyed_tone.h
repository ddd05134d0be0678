// The tone heard while the key is down, made as the sound card asks for it.
//
// Stage:   audio. In: key down and up with their times. Out: an OutputVoice.
// Units:   hertz; dBFS; seconds of the steady clock.
// Shape:   edges in order of time, at most kMostEdges waiting; more are dropped.
// Time:    every edge sounds wait_s() after it was made, so that lengths come out as keyed although
//          the card asks for sound in blocks. The wait is as short as the card's questions allow and
//          changes only while the key is up. An edge passes half amplitude in its middle.
// Errors:  create() returns invalid_value naming field, value and range.
// Threads: key() from one thread, set_pitch() and the like from any, add() from the callback.
// Source:  raised-cosine edges of 5 ms: common practice, no source.
// Checked: tests/dsp/audio/keyed_tone_test.cpp; through a sound card live_output_test.cpp
#pragma once

#include <atomic>
#include <boost/lockfree/spsc_queue.hpp>
#include <memory>
#include <span>

#include "dsp/audio/live_output.h"
#include "dsp/core/result.h"

namespace skedlark::audio {

struct KeyedToneConfig {
    double pitch_hz = 600.0;    // 200 to 2000
    double level_dbfs = -40.0;  // -80 to 0, of the peak
    double ceiling_dbfs = 0.0;  // -80 to 0: never beyond, whatever the level
    double edge_s = 0.005;      // 0.001 to 0.02, from nothing to full
};

class KeyedTone final : public OutputVoice {
 public:
    static constexpr std::size_t kMostEdges = 1024;

    [[nodiscard]] static Result<std::shared_ptr<KeyedTone>> create(const KeyedToneConfig& config);

    void key(bool down, double at_s) noexcept;
    void set_pitch(double pitch_hz) noexcept { pitch_hz_.store(pitch_hz); }
    void set_level(double level_dbfs) noexcept;
    // From an edge to the frame made for it, without the sound system's latency and half the edge.
    [[nodiscard]] double wait_s() const noexcept { return told_wait_s_.load(); }

    void add(std::span<float> frames, double rate_hz, double now_s) noexcept override;

 private:
    explicit KeyedTone(const KeyedToneConfig& config);
    struct Edge {
        bool down = false;
        double at_s = 0.0;
    };
    void keep_time(std::size_t frames, double now_s) noexcept;
    [[nodiscard]] bool is_due(double frame) noexcept;

    const KeyedToneConfig config_;
    std::atomic<double> pitch_hz_;
    std::atomic<double> amplitude_;
    std::atomic<double> told_wait_s_{0.0};
    boost::lockfree::spsc_queue<Edge, boost::lockfree::capacity<kMostEdges>> edges_;

    // The callback's.
    double rate_hz_ = 0.0;
    double frame_ = 0.0;    // made so far
    double asked_ = 0.0;    // times
    double start_s_ = 0.0;  // of the steady clock, at which frame 0 was asked for, on the mean
    double wait_s_ = 0.0;
    Edge next_{};
    bool has_next_ = false;
    bool down_ = false;
    double swell_ = 0.0;  // 0 key up to 1 key down, through the edge
    double phase_ = 0.0;
    double level_ = 0.0;
};

}  // namespace skedlark::audio
