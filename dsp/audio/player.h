// Plays what is made piece by piece, in its own time, on a sound output.
//
// Stage:   audio. In: a function that makes work-rate audio. Out: LiveOutput::put().
// Units:   work-rate frames.
// Shape:   until the function makes less than it was asked for, or the player is gone.
// Time:    some kAheadS is made before it sounds: what is turned is heard so much later.
// Errors:  none of its own: where the output cannot be used it waits; LiveOutput::status() says why.
// Threads: the function is called on the player's own thread, which alone may put() to the output.
// Source:  none
// Checked: tests/dsp/audio/player_test.cpp (virtual sound card)
#pragma once

#include <atomic>
#include <functional>
#include <span>
#include <thread>

#include "dsp/audio/live_output.h"

namespace skedlark::audio {

class Player {
 public:
    static constexpr double kAheadS = 0.1;
    // Fills from the front and returns how many; fewer than asked for: that was the end.
    using Make = std::function<std::size_t(std::span<float>)>;

    // The output outlives the player.
    Player(LiveOutput& output, Make make);

    // All was made, and sounded but for the sound system's own latency.
    [[nodiscard]] bool is_done() const noexcept { return done_.load(); }
    [[nodiscard]] double made_s() const noexcept { return made_s_.load(); }
    void stop();

 private:
    void run(const std::stop_token& stop, LiveOutput& output, const Make& make);

    std::atomic<bool> done_{false};
    std::atomic<double> made_s_{0.0};
    std::jthread thread_;  // last: it ends before what it uses
};

}  // namespace skedlark::audio
