// What goes to the headphones: the followed tone through its filter, a stretch played again, clicks.
//
// Stage:   gui/listen, no Qt. In: the hub's audio, stretches, clicks. Out: audio::LiveOutput.
// Units:   hertz, dBFS of the peak.
// Shape:   off until configure() says on; play() and click() sound whether the tone is on or not.
// Time:    about a tenth of a second behind the input. A stretch is played in its own time.
// Errors:  configure() returns those of EarFilter; a device that cannot be used stands in status().
// Threads: take() on the hub's thread, the rest from the window's; one lock between them.
// Source:  none
// Checked: tests/desk/listen/ears_test.cpp
#pragma once

#include <atomic>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>
#include <vector>

#include "dsp/audio/live_output.h"
#include "dsp/tone/ear_filter.h"
#include "gui/listen/audio_user.h"

namespace skedlark::gui {

struct EarsConfig {
    bool on = false;
    std::string device{};
    tone::EarFilterConfig filter{};  // its ceiling is also the output's limit

    bool operator==(const EarsConfig& other) const;
};

class Ears final : public AudioUser {
 public:
    ~Ears() override;

    Status configure(const EarsConfig& config);
    void set_pitch(double pitch_hz) { pitch_hz_.store(pitch_hz); }
    // A file that is not played in real time cannot be listened to.
    void set_in_real_time(bool is) { in_real_time_.store(is); }
    // Work-rate audio, through the filter; the tone is silent meanwhile. Another call replaces it.
    void play(std::vector<float> audio);
    void stop_playing();
    [[nodiscard]] bool is_playing_stretch() const { return playing_.load(); }
    void click();
    // Of the output: Done where it sounds or nothing is asked of it.
    [[nodiscard]] Status status() const;

    void begin(const HeardInput& input) override;
    void take(const watch::Block& block, FrameIndex first_frame) override;
    void end() override {}

 private:
    void need_output();                                             // under mutex_
    void sound(std::span<const float> audio, bool through_filter);  // under mutex_

    std::atomic<double> pitch_hz_{700.0};
    std::atomic<bool> in_real_time_{true};
    std::atomic<bool> playing_{false};

    mutable std::mutex mutex_;  // of all below but player_
    EarsConfig config_;
    std::unique_ptr<audio::LiveOutput> output_;
    std::optional<tone::EarFilter> filter_;
    std::vector<float> made_;

    std::jthread player_;
};

}  // namespace skedlark::gui
