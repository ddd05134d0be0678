// The level of the input, for a meter that says too low, good or clipping.
//
// Stage:   gui/listen, no Qt. In: work-rate audio. Out: Level.
// Units:   dBFS of the peak; 0 is full scale; floor -200.
// Shape:   any number of samples a call; the same for any split.
// Time:    the verdict looks at the last kJudgeS; peak_dbfs falls by 20 dB a second.
// Errors:  none.
// Threads: one.
// Source:  limits as those of the hook-up check (dsp/audio/hookup_check.h).
// Checked: tests/desk/listen/level_meter_test.cpp
#pragma once

#include <array>
#include <span>

#include "dsp/audio/hookup_check.h"

namespace skedlark::gui {

struct Level {
    double peak_dbfs = -200.0;
    audio::LevelVerdict verdict = audio::LevelVerdict::no_signal;
};

class LevelMeter {
 public:
    static constexpr int kJudgeS = 4;

    void add(std::span<const float> audio, bool lost);
    [[nodiscard]] Level level() const;
    void reset();

 private:
    struct Second {
        float peak = 0.0F;
        int clipped = 0;
        int heard = 0;
    };
    std::array<Second, kJudgeS> seconds_{};  // the newest first
    int in_second_ = 0;
    float shown_ = 0.0F;
};

}  // namespace skedlark::gui
