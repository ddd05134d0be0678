// When a key was pressed, by the stamps of the window system.
//
// Stage:   fist. In: the time at which an event was handed on, its stamp. Out: when it was made.
// Units:   seconds of one clock, milliseconds of another.
// Shape:   an event at a time, in order.
// Time:    the window system stamps a key at once and hands it on late; of all events the one least
//          late tells how the two clocks stand.
// Errors:  none.
// Threads: one.
// Source:  none
// Checked: tests/dsp/fist/key_clock_test.cpp
#pragma once

#include <cstdint>
#include <optional>

namespace skedlark::fist {

class KeyClock {
 public:
    // No stamp: the event is taken to be made as it was handed on.
    double at_s(double now_s, std::optional<std::uint64_t> stamp_ms);

 private:
    std::optional<double> ahead_s_;  // of our clock over the stamps', at most
};

}  // namespace skedlark::fist
