// Is the set joined to the computer well? Level, clipping, offset and hum of a few seconds of
// sound.
//
// Stage:   audio. In: a stretch of a Source at its own rate. Out: numbers and plain advice.
// Units:   0 dBFS is a sine of peak 1.0; rms without the offset; floor -200.
// Shape:   one call a stretch of 1 s and more; hum is looked for in the last 8 s of it.
// Time:    none.
// Errors:  invalid_value where the stretch is too short or the rate out of range.
// Threads: none, a pure function; takes some tenths of a second.
// Source:  Goertzel, Amer. Math. Monthly 65 (1958) 34-35. The limits of the verdicts are our
//          choice: 16-bit rounding noise is -98 dBFS, and the set's noise must stand well above it.
// Checked: tests/dsp/audio/hookup_check_test.cpp
#pragma once

#include <span>
#include <string>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::audio {

inline constexpr double kTooLowDbfs = -60.0;  // a peak below it is lost in rounding
inline constexpr double kNearlyFullDbfs = -3.0;
inline constexpr double kClippedShare = 1e-3;  // of the samples
inline constexpr float kFullScale = 0.9985F;   // at or above counts as clipped

enum class LevelVerdict { no_signal, too_low, good, clipping };

struct HumLine {
    double frequency_hz = 0.0;
    double level_dbfs = 0.0;
};

struct HookupReport {
    double seconds = 0.0;
    LevelVerdict level = LevelVerdict::no_signal;
    double peak_dbfs = -200.0;
    double rms_dbfs = -200.0;
    double dc_offset = 0.0;      // -1 to 1
    double clipped_share = 0.0;  // of the samples, 0 to 1
    bool hum_found = false;
    bool hum_matters = false;         // strong enough to do something about it
    double mains_hz = 0.0;            // as measured, 49 to 51 or 59 to 61; 0 where no hum was found
    double hum_dbfs = -200.0;         // all lines together
    double hum_to_rest_db = 0.0;      // against all other sound
    std::vector<HumLine> lines;       // lowest first
    std::vector<std::string> advice;  // one sentence each, most pressing first
};

[[nodiscard]] Result<HookupReport> check_hookup(std::span<const float> audio,
                                                double sample_rate_hz);

}  // namespace skedlark::audio
