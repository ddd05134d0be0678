// Hum of a receiver: lines of its supply in the audio, and as modulation of a received tone.
//
// Stage:   bench. In: audio, with or without a steady tone. Out: HumFigures, and the same as a Report.
// Units:   dBFS (0 dBFS is a sine of peak 1.0); depth of modulation in percent, peak; deviation in
//          hertz, peak.
// Shape:   one call a recording of kLeastHumS and more.
// Time:    none.
// Errors:  those of supply_lines.h, audio clipped by the sound input. No hum is a bound, no error.
// Threads: pure.
// Source:  what lines point to is bench practice, from memory: the supply frequency to heaters or
//          half-wave leakage, twice it to full-wave ripple, odd multiples to magnetic pick-up, lines near
//          100 Hz that are no mains to a vibrator. A hint, no verdict.
// Checked: tests/dsp/bench/hum_figures_test.cpp, tests/accuracy/bench
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/bench/chain.h"
#include "dsp/bench/supply_lines.h"

namespace skedlark::bench {

enum class SupplyKind { none, mains, vibrator };

struct ModulationLine {
    int order = 1;
    double frequency_hz = 0.0;
    Figure am_percent{};
    Figure fm_hz{};
};

struct HumFigures {
    Band band{};
    SupplyKind kind = SupplyKind::none;
    SupplyLines audio{};
    std::optional<double> pitch_hz{};  // of the tone, where there is one
    double tone_power = 0.0;
    SupplyLines am{};               // of the tone, power of depth
    SupplyLines fm{};               // power of deviation in hertz
    bool tone_on_multiple = false;  // lines in the audio and modulation cannot be told apart
    std::string no_tone{};          // why there is no modulation
};

[[nodiscard]] Result<HumFigures> measure_hum(std::span<const float> audio, double sample_rate_hz,
                                             const ToneTrackConfig& config);

// What the lines point to, a sentence each.
[[nodiscard]] std::vector<std::string> hum_hints(const HumFigures& figures);
[[nodiscard]] Report hum_report(const HumFigures& figures, const Chain* chain);

}  // namespace skedlark::bench
