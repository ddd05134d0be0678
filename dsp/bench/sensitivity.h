// How weak a signal may be: (S+N)/N with the generator on and off, and the level for a stated ratio.
//
// Stage:   bench. In: a recording with the generator switched, or stepped through levels. Out: OnOff,
//          Series, and the same as Reports.
// Units:   dB, dBm in 50 ohm.
// Shape:   one call a recording; each stretch must last kShortestStretchS and more.
// Time:    stretches in seconds from the start.
// Errors:  no step, clipped, gain control suspected, steps that do not match: a sentence each.
// Threads: pure.
// Source:  (S+N)/N of 10 dB is S/N of 9.54 dB, SINAD of 12 dB is S/(N+D) of 11.72 dB (definition). Gain
//          control shows in the noise beside the tone falling when the tone comes up.
// Checked: tests/dsp/bench/sensitivity_test.cpp, tests/accuracy/bench
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/bench/chain.h"
#include "dsp/bench/level_curve.h"
#include "dsp/bench/levels.h"
#include "dsp/bench/steps.h"

namespace skedlark::bench {

struct OnOff {
    std::vector<EvenStretch> on{};
    std::vector<EvenStretch> off{};
    double on_s = 0.0;
    double off_s = 0.0;
    Figure ratio_db{};  // (S+N)/N
    double noise_power = 0.0;
    std::optional<Figure> sinad_db{};  // of the longest stretch on, where a tone is in it
};

[[nodiscard]] Result<OnOff> measure_on_off(std::span<const float> audio, double sample_rate_hz,
                                           const ToneTrackConfig& config);

struct SeriesStep {
    LevelStep step{};
    Figure ratio_db{};  // (S+N)/N
    std::optional<Figure> sinad_db{};
};
struct SeriesPoint {
    std::optional<double> mhz{};
    std::vector<SeriesStep> steps{};  // levels only, rising
    double noise_power = 0.0;
    std::optional<LevelCurve> for_10db{};
    std::optional<LevelCurve> for_sinad12{};
    std::string problem{};  // why for_10db is empty
    std::string sinad_problem{};
    bool gain_control = false;  // suspected: (S+N)/N means nothing
    double strongest_dbm = 0.0;
    bool dead = false;  // far less sensitive than the rest of the band
};
struct Series {
    std::vector<SeriesPoint> points{};
};

inline constexpr double kDeadByDb =
    6.0;  // worse than the median of the points: a dead spot, our choice

[[nodiscard]] Result<Series> measure_series(std::span<const float> audio, double sample_rate_hz,
                                            std::vector<LevelStep> steps,
                                            const ToneTrackConfig& config);

[[nodiscard]] Report on_off_report(const OnOff& measured, const ToneTrackConfig& config,
                                   const Chain* chain);
// generator_95_db: how sure the generator's level is. image: the same at the image frequency.
[[nodiscard]] Result<Report> series_report(const Series& series, const ToneTrackConfig& config,
                                           const Chain* chain, double generator_95_db,
                                           const Series* image);

}  // namespace skedlark::bench
