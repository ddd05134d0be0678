// How far this machine's clock is out, from time-signal ticks that were heard.
//
// Stage:   station. In: times at which ticks were heard, by this machine's clock. Out: offset and
//          its uncertainty.
// Units:   seconds; positive: the clock is fast, so UTC is its reading minus the offset.
// Shape:   about ten ticks or more, in order; clicks that are no ticks may be among them.
// Time:    ticks stand at whole seconds of UTC. They alone tell the offset only to a whole second:
//          that one is decided by a tick known to begin a minute, or by what the clock can be out.
// Errors:  invalid_value: too few ticks, out of order, or no rhythm of one second in them.
// Threads: all functions are pure.
// Source:  ITU-R TF.460 (second markers at UTC seconds, minute marked, DUT1 by doubled or longer
//          markers: a second half of a doubled marker is passed over). Phase by the mean direction,
//          then the mean of what lies near it (Mardia and Jupp, Directional Statistics).
// Checked: tests/dsp/station/clock_offset_test.cpp
#pragma once

#include <span>

#include "dsp/core/result.h"
#include "dsp/core/utc.h"

namespace skedlark::station {

// Ticks further from the common rhythm than this are something else.
inline constexpr double kTickReachS = 0.12;
// Clicks at random show a rhythm as clear as this less often; 7 clean ticks are enough for it.
inline constexpr double kChanceOfNoRhythm = 1.0e-3;
inline constexpr int kMostTicks = 4000;  // over an hour
// The way of the signal and of the ear: a few thousand kilometres of short wave are about 10 ms, a
// finger follows a rhythm that it knows within some tens of milliseconds (common practice, no
// source). Added to what the ticks themselves say.
inline constexpr double kTickSystematicS = 0.05;

struct Tick {
    UtcTime heard{};      // by this machine's clock
    bool minute = false;  // the marker that begins a minute
};

struct ClockOffset {
    double offset_s = 0.0;
    double ticks_95_s = 0.0;         // from the scatter of the ticks alone
    double uncertainty_95_s = 0.0;   // with kTickSystematicS
    bool whole_second_known = true;  // by a minute marker; false: taken as the nearest second
    int ticks_used = 0;
    int ticks_heard = 0;
};

[[nodiscard]] Result<ClockOffset> offset_from_ticks(std::span<const Tick> ticks);

}  // namespace skedlark::station
