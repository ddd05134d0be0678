// One test of the bench from its recording to its report: what every surface calls.
//
// Stage:   bench. In: audio, what the person set. Out: Measured: the report and its picture.
// Units:   as the tests themselves; audio at any sample rate named beside it.
// Shape:   one call a test; takes made one after the other (generator on, then off) are joined first.
// Time:    occurrences in seconds from the start of the audio given.
// Errors:  those of the tests, a sentence each.
// Threads: pure.
// Source:  none
// Checked: tests/dsp/bench/whole_test_test.cpp
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "dsp/bench/chain.h"
#include "dsp/bench/contacts.h"
#include "dsp/bench/passband.h"
#include "dsp/bench/picture.h"
#include "dsp/bench/report.h"
#include "dsp/bench/ring.h"
#include "dsp/bench/sensitivity.h"

namespace skedlark::bench {

struct Measured {
    Report report{};
    Picture picture{};
};

struct Recorded {
    std::span<const float> audio{};
    double sample_rate_hz = 0.0;
};

[[nodiscard]] Result<Measured> tone_test(const Recorded& recorded, const ToneTrackConfig& config,
                                         const Chain* chain);
[[nodiscard]] Result<Measured> hum_test(const Recorded& recorded, const ToneTrackConfig& config,
                                        const Chain* chain);

struct LevelSeries {
    Recorded recorded{};
    std::vector<LevelStep> levels{};
};
struct SensitivityWish {
    ToneTrackConfig tone{};
    std::vector<LevelStep> levels{};     // none: on and off, found in the recording
    double generator_95_db = 0.0;        // how sure those levels are
    std::optional<LevelSeries> image{};  // the same at the image frequency
};
[[nodiscard]] Result<Measured> sensitivity_test(const Recorded& recorded,
                                                const SensitivityWish& wish, const Chain* chain);

struct PassbandWish {
    std::vector<GeneratorStep> steps{};  // stepped
    std::optional<Stretch> sweep{};      // or swept; neither: from noise
    BeatSide first = BeatSide::above;    // of a sweep
    PassbandConfig config{};
};
[[nodiscard]] Result<Measured> passband_test(const Recorded& recorded, const PassbandWish& wish);

[[nodiscard]] Result<Measured> contacts_test(const Recorded& recorded, ContactsConfig config);
[[nodiscard]] Result<Measured> ring_test(const Recorded& recorded, RingConfig config);

// Takes in a row, as one recording, and where each of them lies in it.
struct Joined {
    std::vector<float> audio{};
    std::vector<Stretch> at{};
};
[[nodiscard]] Joined join_takes(std::span<const std::span<const float>> takes,
                                double sample_rate_hz);
// At rest first, then touched; the joint itself is neither.
[[nodiscard]] Result<Measured> contacts_of_takes(std::span<const float> at_rest,
                                                 std::span<const float> touched,
                                                 const ContactsConfig& config);

}  // namespace skedlark::bench
