// A sending while it goes on: tone found, followed and measured piece by piece, graded so far.
//
// Stage:   fist. In: work-rate audio as it comes. Out: LiveFigures, whenever they are asked for.
// Units:   seconds from the first sample; hertz; SNR in 2500 Hz with the key down.
// Shape:   any number of samples a call; marks older than some seconds are measured no more, so that a
//          call costs as much after an hour as after a minute, but for the judging of all lengths.
// Time:    a strong tone is found after 5 s (finder.h), its marks from the beginning on are counted then;
//          a mark counts once its end is some 0.1 s old.
// Errors:  none: no tone yet is a state.
// Threads: one; add() keeps up with hundreds of times real time, figures() takes some 50 ms.
// Source:  the same parts as grade(); the pitch is the causal one and only some seconds decide on
//          level and edge, so that grade() of the whole is better and may differ a little.
// Checked: tests/dsp/fist/live_sending_test.cpp, against grade()
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "dsp/fist/grading.h"
#include "dsp/tone/finder.h"

namespace skedlark::fist {

struct LiveSendingConfig {
    std::optional<double> pitch_hz;  // which tone, where there are several
};

struct LiveFigures {
    double heard_s = 0.0;
    std::vector<HeardTone> tones;  // keyed, strongest first; more than one: two senders
    double pitch_hz = 0.0;         // of the one followed; 0: none yet
    std::optional<Grade> grade;    // without a text, nothing of the note; empty: too few marks
};

class LiveSending {
 public:
    [[nodiscard]] static Result<LiveSending> create(const LiveSendingConfig& config = {});

    // lost: no audio is here (gap); its samples are not looked at.
    void add(std::span<const float> audio, bool lost = false);
    [[nodiscard]] LiveFigures figures();

 private:
    explicit LiveSending(const LiveSendingConfig& config, tone::Finder finder)
        : config_(config), finder_(std::move(finder)) {}
    void look_for_tone();
    void follow_the_loudest(const std::vector<HeardTone>& tones);
    void follow(std::span<const float> audio, bool lost);
    void measure();
    void forget_before(FrameIndex frame);

    LiveSendingConfig config_;
    tone::Finder finder_;
    std::vector<Event> found_;
    std::optional<tone::Follower> follower_;
    // What is not measured for good: audio and track from window_from_ on.
    std::vector<float> window_;
    FrameIndex window_from_ = 0;
    std::vector<tone::BasebandFrame> track_;
    Keying keying_;            // all marks, the last ones still open to change
    std::size_t settled_ = 0;  // of them, measured for good
    std::optional<double> speed_wpm_;
    int asked_ = 0;
};

}  // namespace skedlark::fist
