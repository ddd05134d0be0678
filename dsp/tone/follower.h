// Follows one keyed tone: takes its pitch to 0 Hz and hands on baseband frames with their noise.
//
// Stage:   tone. In: work-rate audio. Out: BasebandFrame (frame.h), PitchMovedEvent.
// Units:   audio 1.0 = full scale; hertz; noise density in full scale squared per hertz, one-sided.
// Shape:   any number of samples a call; the same frames for any split.
// Time:    a frame comes 24 ms after its middle. The pitch is the causal estimate; after a jump,
//          revised_frames() gives the frames since the jump again, taken down by the new pitch.
// Errors:  create() returns invalid_value; process() cannot fail. Samples that are not finite count
//          as 0.
// Threads: one thread per instance; process() allocates only where out grows.
// Source:  pitch_grid.h, jump_watch.h, static_meter.h, baseband.h.
// Checked: tests/dsp/tone/follower_test.cpp
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "dsp/core/events.h"
#include "dsp/core/result.h"
#include "dsp/tone/frame.h"

namespace skedlark::tone {

struct FollowerConfig {
    int tone = 1;                 // number put into the events
    double pitch_hz = 700.0;      // 50 to 3900: where the tone starts
    double pitch_error_hz = 1.0;  // 0.1 to 10: standard deviation of that
    double jump_reach_hz =
        200.0;                   // 0 to 500: how far a knock may throw the tone; 0: it never jumps
    FrameIndex start_frame = 0;  // index of the first sample that will come
};

class Follower {
 public:
    [[nodiscard]] static Result<Follower> create(const FollowerConfig& config);
    Follower(Follower&&) noexcept;
    Follower& operator=(Follower&&) noexcept;
    ~Follower();

    // Appends the frames that became complete, and events where events is given. lost: this stretch
    // holds no audio of the tone (gap, own sending); its values are not looked at.
    void process(std::span<const float> audio, std::vector<BasebandFrame>& frames,
                 std::vector<Event>* events = nullptr, bool lost = false);

    // After a process() that told of a jump: the frames from the jump on, replacing those given out
    // with the same at_frame. Empty when the last process() met no jump.
    [[nodiscard]] std::span<const BasebandFrame> revised_frames() const;

    [[nodiscard]] double pitch_hz() const;
    [[nodiscard]] double pitch_spread_hz() const;   // standard deviation of the estimate
    [[nodiscard]] double drift_hz_per_min() const;  // slope over the last half minute heard
    [[nodiscard]] double presence() const;          // chance that the tone is there now, 0 to 1
    [[nodiscard]] double snr_2500hz_db() const;     // key-down; -99 before anything was heard
    [[nodiscard]] double noise_density() const;     // at the pitch, without crashes
    [[nodiscard]] FrameIndex next_frame() const;    // index of the next sample expected

    // Starts again at start_frame, keeping pitch, level and noise: to settle on the first seconds
    // of a recording, then go through them again.
    void restart_keeping_pitch(FrameIndex start_frame);

 private:
    struct State;
    explicit Follower(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

}  // namespace skedlark::tone
