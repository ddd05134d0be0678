// The measuring chain, sound input and lead, measured without a receiver: what it adds by itself.
//
// Stage:   bench. In: a recording of the chain alone; a chain file. Out: Chain, corrections.
// Units:   dBFS; ppm; volts rms of a sine that just reaches full scale is full_scale_volts / sqrt 2.
// Shape:   one call a recording; the file is TOML of at most 1 MiB.
// Time:    none.
// Errors:  those of tone_figures.h; damaged or invalid_value naming file, line and field.
// Threads: pure but for the file.
// Source:  the chain's noise adds to what is measured as power, its harmonics at worst as amplitude. A
//          sound input's clock without a reference is taken as good to 100 ppm (common practice, no
//          source).
// Checked: tests/dsp/bench/chain_test.cpp
#pragma once

#include <optional>
#include <string>

#include "dsp/bench/report.h"
#include "dsp/bench/tone_figures.h"

namespace skedlark::bench {

inline constexpr double kUnknownClockPpm = 100.0;

struct Chain {
    std::string name = "chain";
    double sample_rate_hz = 0.0;
    Figure noise_dbfs{};  // in the band
    Band band{};
    std::optional<double> hum_dbfs{};          // all lines of the mains together
    std::optional<double> thd_percent{};       // its value, or the bound it lies below
    std::optional<Figure> clock_ppm{};         // positive: the sound input's clock is fast
    std::optional<Figure> full_scale_volts{};  // peak

    // Noise power in this band, from the density in its own.
    [[nodiscard]] double noise_power(const Band& other) const;
};

struct ChainWish {
    std::string name = "chain";
    ToneTrackConfig tone{};
    std::optional<double> reference_hz{};  // what the tone truly is
    double reference_ppm = 1.0;            // 95 % of it
    std::optional<Figure> full_scale_volts{};
};
struct ChainMeasured {
    Chain chain{};
    Report report{};
};
// A recording of the input closed with a resistor, or of a generator led straight to it.
[[nodiscard]] Result<ChainMeasured> measure_chain(std::span<const float> audio,
                                                  double sample_rate_hz, const ChainWish& wish);

// Of the input closed: noise and hum; of a generator straight in: level, distortion, clock.
[[nodiscard]] ChainMeasured joined(const ChainMeasured& closed, const ChainMeasured& generator);

[[nodiscard]] std::string chain_toml(const Chain& chain);
[[nodiscard]] Result<Chain> parse_chain(std::string_view text, const std::string& file);
[[nodiscard]] Result<Chain> read_chain(const std::string& path);

// A pitch by the true clock; without a chain or its clock the clock's share is in the uncertainty.
[[nodiscard]] Figure true_pitch(const Figure& measured_hz, const Chain* chain);
// Half-width in dB that the chain's noise adds to a figure of noise of this power in this band: what
// taking it off would change. Empty where the chain's noise is more than half of it.
[[nodiscard]] std::optional<double> noise_share_db(const Chain& chain, const Band& band,
                                                   double noise_power);

// The figures of a tone with the chain in them; nullptr: without one.
[[nodiscard]] Report tone_report(const ToneFigures& figures, const ToneTrackConfig& config,
                                 const Chain* chain);

}  // namespace skedlark::bench
