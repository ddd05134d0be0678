// Key-down level of a keyed tone from its baseband frames, without deciding which frames are
// key-down.
//
// Stage:   tone. In: frames. Out: peak amplitude with the key down, share of time it is down.
// Units:   amplitude in full scale; power is amplitude squared / 2.
// Shape:   one call a frame.
// Time:    forgets over kLevelMemoryFrames frames.
// Errors:  none; lost frames are skipped.
// Threads: one thread per instance; no allocation.
// Source:  second and fourth moments of an on-off Rician envelope: for amplitude a, share d and
//          noise v, E p = d a^2 + v, E p^2 = d a^4 + 4 d a^2 v + 2 v^2; drawn towards the share of
//          standard text.
// Checked: tests/dsp/tone/level_meter_test.cpp
#pragma once

#include "dsp/tone/frame.h"

namespace skedlark::tone {

inline constexpr int kLevelMemoryFrames = 4000;  // 20 s

class LevelMeter {
 public:
    void add(const BasebandFrame& frame) noexcept;
    // Squared key-down amplitude; 0 before anything was heard.
    [[nodiscard]] double amplitude_squared() const noexcept;
    void reset() noexcept;

 private:
    double weight_ = 0.0;
    double power_ = 0.0;         // sum of weight * (p - v)
    double square_ = 0.0;        // sum of weight * (p^2 - 4 p v + 2 v^2)
    double square_error_ = 0.0;  // what noise alone gives to its mean square
};

}  // namespace skedlark::tone
