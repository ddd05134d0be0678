// What practice sounds like: drills played, the tone of the key; one output, one limit.
//
// Stage:   gui/practice, no Qt. In: audio made piece by piece, key down and up. Out: a sound output.
// Units:   dBFS: of the level, what is played at -20 dBFS is brought to it; of the limit, the peak.
// Shape:   silent until something is asked for; release() gives the device back.
// Time:    key_delay_s() is from key to sound by the sound system's own account.
// Errors:  configure() returns those of the output and the tone; a device that cannot be used stands in
//          status().
// Threads: the window's; what is played is made on the player's thread.
// Source:  none
// Checked: tests/desk/practice/practice_sound_test.cpp (virtual sound card)
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "dsp/audio/player.h"
#include "dsp/core/result.h"

namespace skedlark::gui {

// At this loudness drills are made.
inline constexpr double kDrillLoudnessDbfs = -20.0;

struct SoundSettings {
    std::string device{};       // as find_device(); empty: the default output
    double level_dbfs = -40.0;  // -70 to -12; beyond the limit it is held there
    double limit_dbfs = -30.0;  // -60 to -10
    double sidetone_hz = 600.0;

    bool operator==(const SoundSettings&) const = default;
};

class PracticeSound {
 public:
    virtual ~PracticeSound() = default;
    virtual Status configure(const SoundSettings& settings) = 0;
    // Opens the output, so that a key sounds from the first press on.
    virtual void open() = 0;
    virtual void release() = 0;
    virtual void key(bool down, double at_s) = 0;
    virtual void play(audio::Player::Make make) = 0;  // in place of what is playing
    virtual void stop() = 0;
    [[nodiscard]] virtual bool is_playing() const = 0;  // asked to, and not at its end
    [[nodiscard]] virtual Status status() const = 0;
    [[nodiscard]] virtual std::optional<double> key_delay_s() const = 0;
};

[[nodiscard]] std::unique_ptr<PracticeSound> make_practice_sound();

}  // namespace skedlark::gui
