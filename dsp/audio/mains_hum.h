// Finds the lines of mains hum: the mains frequency is measured, within 1 Hz of 50 or 60, not
// assumed.
//
// Stage:   audio, inside of hookup_check.h. In: sound without offset. Out: the lines.
// Units:   powers of mean square; hertz.
// Shape:   one call a stretch of 1 s and more.
// Time:    none.
// Errors:  none; no hum is an empty list.
// Threads: none, a pure function.
// Source:  Goertzel, Amer. Math. Monthly 65 (1958) 34-35, under a Hann window
// Checked: tests/dsp/audio/hookup_check_test.cpp
#pragma once

#include <span>
#include <vector>

namespace skedlark::audio {

struct MainsHum {
    struct Line {
        double frequency_hz = 0.0;
        double power = 0.0;
    };
    double mains_hz = 0.0;
    std::vector<Line> lines;  // those that stand out; empty: no hum
    double power = 0.0;       // of all lines
};

[[nodiscard]] MainsHum find_mains_hum(std::span<const float> audio, double sample_rate_hz);

}  // namespace skedlark::audio
