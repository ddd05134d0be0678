// Every stretch of audio that is too quiet, or too loud, to be chance.
//
// Stage:   bench. In: audio with its usual levels. Out: suspected stretches; the most likely edges of an event.
// Units:   frames; powers over the usual power there.
// Shape:   windows of half an octave of lengths, a step of an eighth of a millisecond.
// Time:    none.
// Errors:  none.
// Threads: pure.
// Source:  as contacts.h.
// Checked: tests/dsp/bench/contact_scan_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/bench/contact_levels.h"
#include "dsp/core/units.h"

namespace skedlark::bench {

struct ScanLimit {
    int length = 0;      // frames
    double quiet = 0.0;  // noise power over its mean below which it is no chance; 0: not looked at
    double tone_quiet = 0.0;  // amplitude over the usual, the same; 0: not looked at
    double loud = 0.0;        // noise power above which it is no chance; infinite: not looked at
    double found_99 = 0.0;    // fall of power that is found 99 times in 100
};

[[nodiscard]] std::vector<ScanLimit> scan_limits(const ContactLevels& levels, double sample_rate_hz,
                                                 double false_per_10_min, double least_depth_db);

struct Suspect {
    FrameIndex from = 0;
    FrameIndex to = 0;
    bool loud = false;
    double score = 0.0;  // log likelihood ratio
};

// By time of their beginning within each kind.
[[nodiscard]] std::vector<Suspect> scan_contacts(std::span<const float> audio,
                                                 double sample_rate_hz, const ContactLevels& levels,
                                                 std::span<const ScanLimit> limits);

struct FittedEvent {
    FrameIndex from = 0;
    FrameIndex to = 0;
    double power = 1.0;    // mean over the usual, in it
    double freedom = 1.0;  // degrees of freedom of that mean
};
// One event a group of suspects; several where they stand apart.
[[nodiscard]] std::vector<FittedEvent> fit_events(std::span<const float> audio,
                                                  double sample_rate_hz,
                                                  const ContactLevels& levels,
                                                  std::span<const Suspect> suspects);

}  // namespace skedlark::bench
