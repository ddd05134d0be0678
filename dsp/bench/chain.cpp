#include "dsp/bench/chain.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/bench/batch_means.h"
#include "dsp/bench/hum_figures.h"
#include "dsp/core/units.h"

namespace skedlark::bench {
namespace {

constexpr int kBatches = 32;

// Power of a level in dBFS, where a sine of peak 1.0 is 0.
double power_of_dbfs(double dbfs) { return 0.5 * power_from_db(dbfs); }

Measurement named(const char* name, const Figure& figure, const char* what) {
    return {.name = name, .figure = figure, .what = what};
}

Result<Figure> band_noise_dbfs(std::span<const float> audio, double sample_rate_hz,
                               const Band& band) {
    const auto cut = cut_to_band(audio, sample_rate_hz, band);
    if (!cut) return cut.error();
    std::vector<double> squares;
    for (std::size_t n = cut->from; n < cut->to; ++n)
        squares.push_back(static_cast<double>(cut->audio[n]) * static_cast<double>(cut->audio[n]));
    const Figure mean = mean_of(batch_means(squares, kBatches));
    if (mean.value <= 0.0) {
        return Error{ErrorCode::invalid_value,
                     "digital silence: nothing comes in; is the right input chosen, its level up?"};
    }
    return Figure{db_from_power(2.0 * mean.value),
                  db_from_power(1.0 + mean.uncertainty_95 / mean.value)};
}

void take_tone(const ToneFigures& tone, const ChainWish& wish, ChainMeasured& out) {
    Chain& chain = out.chain;
    auto& m = out.report.measurements;
    chain.noise_dbfs = tone.noise_dbfs;
    m.push_back(named("level_dbfs", tone.level_dbfs, "level of the tone"));
    if (!tone.harmonics.empty()) {
        chain.thd_percent = tone.thd_percent.figure.high();
        m.push_back(tone.thd_percent);
        m.back().name = "thd_percent";
        m.back().what = "distortion of the chain";
    }
    if (!wish.reference_hz) return;
    // Measured low where the clock is fast: more samples to each period.
    const double ratio = *wish.reference_hz / tone.pitch_hz.value;
    chain.clock_ppm = Figure{
        1e6 * (ratio - 1.0),
        std::hypot(1e6 * tone.pitch_hz.uncertainty_95 / tone.pitch_hz.value, wish.reference_ppm)};
    m.push_back(named("clock_ppm", *chain.clock_ppm, "clock of the sound input, fast"));
}

Status check_clock(const ChainMeasured& measured) {
    constexpr double kMostPpm = 2000.0;
    if (!measured.chain.clock_ppm || std::abs(measured.chain.clock_ppm->value) < kMostPpm)
        return Done{};
    return Error{
        ErrorCode::invalid_value,
        fmt::format("the tone is {:.0f} ppm off --reference-hz; no clock is: is the reference "
                    "right, is it that tone?",
                    measured.chain.clock_ppm->value)};
}

}  // namespace

double Chain::noise_power(const Band& other) const {
    return power_of_dbfs(noise_dbfs.value) * other.width_hz() / band.width_hz();
}

Result<ChainMeasured> measure_chain(std::span<const float> audio, double sample_rate_hz,
                                    const ChainWish& wish) {
    ChainMeasured out;
    out.chain.name = wish.name;
    out.chain.sample_rate_hz = sample_rate_hz;
    out.chain.band = wish.tone.band;
    out.chain.band.high_hz = std::min(out.chain.band.high_hz, 0.5 * sample_rate_hz);
    const double length_s = static_cast<double>(audio.size()) / sample_rate_hz;
    if (length_s < kLeastToneS) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("{:.2f} s of audio are too short for the chain; at least {:g} s are "
                        "needed, 10 s are good",
                        length_s, kLeastToneS)};
    }
    const auto tone = measure_tone(audio, sample_rate_hz, wish.tone);
    if (tone) {
        take_tone(*tone, wish, out);
        if (const Status right = check_clock(out); !right) return right.error();
    } else {
        // A clipped or keyed tone is a mistake; no tone at all is the input closed.
        if (tone.error().code != ErrorCode::not_found || wish.reference_hz) return tone.error();
        const auto noise = band_noise_dbfs(audio, sample_rate_hz, out.chain.band);
        if (!noise) return noise.error();
        out.chain.noise_dbfs = *noise;
        out.report.remarks.push_back(
            "No tone: taken as the input closed by a resistor. Distortion and clock need a tone "
            "led "
            "straight in.");
    }
    if (const auto hum = measure_hum(audio, sample_rate_hz, wish.tone)) {
        const Report lines = hum_report(*hum, nullptr);
        for (const Measurement& line : lines.measurements) {
            if (line.name != "hum_dbfs") continue;
            out.chain.hum_dbfs = line.figure.high();
            out.report.measurements.push_back(line);
        }
    }
    auto& m = out.report.measurements;
    m.push_back(named("noise_dbfs", out.chain.noise_dbfs, "noise of the chain, in the band"));
    out.chain.full_scale_volts = wish.full_scale_volts;
    if (wish.full_scale_volts) {
        const Figure& full = *wish.full_scale_volts;
        m.push_back(named("full_scale_volts", full, "full scale, peak, as given"));
        const double microvolt =
            1e6 * full.value * std::sqrt(power_of_dbfs(out.chain.noise_dbfs.value));
        m.push_back(
            named("noise_microvolt",
                  {microvolt, microvolt * std::hypot(full.uncertainty_95 / full.value,
                                                     out.chain.noise_dbfs.uncertainty_95 * 0.1151)},
                  "noise of the chain, rms"));
    }
    out.report.remarks.push_back(fmt::format(
        "Measured from {:g} to {:g} Hz. Leave the level of the sound input as it is from "
        "now on: it is part of the chain.",
        out.chain.band.low_hz, out.chain.band.high_hz));
    return out;
}

ChainMeasured joined(const ChainMeasured& closed, const ChainMeasured& generator) {
    ChainMeasured out = closed;
    out.chain.thd_percent = generator.chain.thd_percent;
    out.chain.clock_ppm = generator.chain.clock_ppm;
    out.report.remarks = generator.report.remarks;
    for (const Measurement& m : generator.report.measurements) {
        const bool there =
            std::any_of(closed.report.measurements.begin(), closed.report.measurements.end(),
                        [&](const Measurement& other) { return other.name == m.name; });
        if (!there) out.report.measurements.push_back(m);
    }
    return out;
}

Figure true_pitch(const Figure& measured_hz, const Chain* chain) {
    if (chain == nullptr || !chain->clock_ppm) {
        return {measured_hz.value, std::hypot(measured_hz.uncertainty_95,
                                              measured_hz.value * kUnknownClockPpm * 1e-6)};
    }
    return {measured_hz.value * (1.0 + 1e-6 * chain->clock_ppm->value),
            std::hypot(measured_hz.uncertainty_95,
                       measured_hz.value * chain->clock_ppm->uncertainty_95 * 1e-6)};
}

std::optional<double> noise_share_db(const Chain& chain, const Band& band, double noise_power) {
    const double own = chain.noise_power(band);
    if (own > 0.5 * noise_power) return std::nullopt;
    return -db_from_power(1.0 - own / noise_power);
}

Report tone_report(const ToneFigures& figures, const ToneTrackConfig& config, const Chain* chain) {
    Report report = tone_report(figures, config);
    const double noise = power_of_dbfs(figures.noise_dbfs.value);
    const auto share =
        chain != nullptr ? noise_share_db(*chain, figures.band, noise) : std::optional<double>(0.0);
    for (Measurement& m : report.measurements) {
        const bool of_noise = m.name.starts_with("sinad") || m.name == "snr_db";
        if (m.name == "pitch_hz") m.figure = true_pitch(m.figure, chain);
        if ((of_noise || m.name == "noise_dbfs") && share) m.figure.uncertainty_95 += *share;
        if (of_noise && !share) m.known = Known::at_least;
        if (m.name == "noise_dbfs" && !share) m.known = Known::at_most;
        if (chain != nullptr && chain->thd_percent && m.name == "thd_percent")
            m.figure.uncertainty_95 += *chain->thd_percent;
        if (chain != nullptr && chain->thd_percent && m.name == "thd_db" &&
            m.known == Known::value) {
            m.figure.uncertainty_95 +=
                20.0 * std::log10(1.0 + *chain->thd_percent / figures.thd_percent.figure.value);
        }
    }
    if (chain == nullptr) {
        report.remarks.push_back(
            fmt::format("No measuring chain is named: the sound input's clock is taken as good to "
                        "{:g} ppm, its "
                        "noise and distortion "
                        "as nothing.",
                        kUnknownClockPpm));
        return report;
    }
    report.chain = chain->name;
    if (!share) {
        report.remarks.push_back(
            "More than half of this noise is the measuring chain's own: the receiver is better "
            "than "
            "shown. Turn its gain up or the sound input's level.");
    }
    if (chain->full_scale_volts) {
        const Figure& full = *chain->full_scale_volts;
        const double volts = full.value * std::sqrt(figures.track.power);
        report.measurements.push_back(
            named("level_volts",
                  {volts, volts * std::hypot(full.uncertainty_95 / full.value,
                                             0.1151 * figures.level_dbfs.uncertainty_95)},
                  "level of the tone, rms"));
    }
    return report;
}

}  // namespace skedlark::bench
