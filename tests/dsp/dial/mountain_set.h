// A receiver of the invented mountain-hut relief net, for tests: three bands, the last one falling.
#pragma once

#include "dsp/dial/receiver.h"

namespace skedlark::test {

inline dial::Receiver mountain_set() {
    dial::Receiver set;
    set.name = "Saddle hut set";
    set.reading_sd_div = 0.1;
    set.audio = {.pitch_hz = 700.0, .low_hz = 300.0, .high_hz = 3000.0};
    set.bands = {
        {.name = "1",
         .from_mhz = 2.4,
         .to_mhz = 4.0,
         .points = {{5, 2.45}, {20, 2.6}, {40, 2.86}, {60, 3.2}, {80, 3.6}, {97, 3.98}}},
        {.name = "2",
         .from_mhz = 3.8,
         .to_mhz = 6.4,
         .points =
             {{3, 3.85}, {15, 4.05}, {30, 4.35}, {45, 4.7}, {60, 5.12}, {75, 5.6}, {96, 6.37}},
         .chart_sd_div = 0.2},
        {.name = "3",
         .from_mhz = 6.0,
         .to_mhz = 10.5,
         .points = {{4, 10.4}, {20, 9.5}, {40, 8.5}, {60, 7.6}, {80, 6.8}, {98, 6.1}}},
    };
    return set;
}

}  // namespace skedlark::test
