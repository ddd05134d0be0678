#include "dsp/bench/tone_figures.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "dsp/bench/batch_means.h"
#include "dsp/core/units.h"

namespace skedlark::bench {
namespace {

constexpr int kBatches = 32;
constexpr double kDbPerNeper = 10.0 / std::numbers::ln10;  // of power
constexpr double kOneSided95 = 1.6448536269514722;

double power_db(double power) { return db_from_power(std::max(power, 1e-30)); }

// Tone and rest by batches: what both sums and their spread come from.
struct Batches {
    std::vector<double> tone;
    std::vector<double> rest;
    double seconds = 0.0;  // all of them
    std::size_t from = 0;
    std::size_t to = 0;
};

Batches batches_of(const ToneTrack& track, const BandAudio& rest, double sample_rate_hz) {
    Batches out;
    const auto edge = static_cast<std::size_t>(track.notch.edge_samples) * track.notch.step;
    out.from = std::max(rest.from, edge);
    out.to = std::min(rest.to, rest.audio.size() - edge);
    const std::size_t length = (out.to - out.from) / kBatches;
    const double filled = track.noise_density * track.notch_noise_hz;
    for (std::size_t b = 0; b < kBatches; ++b) {
        const std::size_t from = out.from + b * length;
        double sum = 0.0;
        for (std::size_t n = from; n < from + length; ++n) {
            sum += static_cast<double>(rest.audio[n]) * static_cast<double>(rest.audio[n]);
        }
        out.rest.push_back(sum / static_cast<double>(length) + filled);
        out.tone.push_back(track.power_between(from, from + length));
    }
    out.seconds = static_cast<double>(length * kBatches) / sample_rate_hz;
    return out;
}

double average(const std::vector<double>& values) {
    return std::accumulate(values.begin(), values.end(), 0.0) / static_cast<double>(values.size());
}

// Half the 95 % interval in dB of (tone + rest) / rest by the spread of its linear part.
double ratio_spread_db(const Batches& batches, double tone, double rest, double extra_rest) {
    std::vector<double> parts;
    for (std::size_t b = 0; b < batches.rest.size(); ++b) {
        parts.push_back((batches.tone[b] + batches.rest[b] + extra_rest) / (tone + rest) -
                        (batches.rest[b] + extra_rest) / rest);
    }
    return kDbPerNeper * mean_of(parts).uncertainty_95;
}

struct HarmonicPower {
    int order = 2;
    std::complex<double> amplitude{};
    double power = 0.0;     // of the line, noise taken off; may be below 0
    double variance = 0.0;  // of power
    double noise = 0.0;     // expected in the line
};

// Line at `order` times the phase of the tone, coherent over the whole stretch.
HarmonicPower harmonic_of(std::span<const float> rest, const std::vector<double>& phases,
                          const Batches& batches, int order, double density) {
    std::complex<double> sum;
    for (std::size_t n = batches.from; n < batches.to; ++n) {
        const double phase = order * phases[n];
        sum +=
            static_cast<double>(rest[n]) * std::complex<double>(std::cos(phase), -std::sin(phase));
    }
    const double count = static_cast<double>(batches.to - batches.from);
    HarmonicPower out{order};
    out.noise = density / batches.seconds;
    out.amplitude = 2.0 * sum / count;
    out.power = 0.5 * std::norm(out.amplitude) - out.noise;
    out.variance = out.noise * (2.0 * std::max(out.power, 0.0) + out.noise);
    return out;
}

// Mean square by batches of what is left when the harmonics are taken out, too.
std::vector<double> noise_batches(const ToneTrack& track, const BandAudio& rest,
                                  const Batches& batches, const std::vector<double>& phases,
                                  const std::vector<HarmonicPower>& harmonics) {
    std::vector<double> out;
    double taken = track.noise_density * track.notch_noise_hz;
    for (const HarmonicPower& h : harmonics) taken += h.noise;
    const std::size_t length = (batches.to - batches.from) / kBatches;
    for (std::size_t b = 0; b < kBatches; ++b) {
        double sum = 0.0;
        for (std::size_t n = batches.from + b * length; n < batches.from + (b + 1) * length; ++n) {
            auto x = static_cast<double>(rest.audio[n]);
            for (const HarmonicPower& h : harmonics) {
                x -= h.amplitude.real() * std::cos(h.order * phases[n]) -
                     h.amplitude.imag() * std::sin(h.order * phases[n]);
            }
            sum += x * x;
        }
        out.push_back(sum / static_cast<double>(length) + taken);
    }
    return out;
}

std::vector<HarmonicPower> harmonics_of(const ToneTrack& track, const BandAudio& rest,
                                        const Batches& batches, const std::vector<double>& phases,
                                        double sample_rate_hz, const Band& band) {
    std::vector<HarmonicPower> out;
    const std::span<const float> whole(rest.audio);
    const auto spectrum =
        periodogram(whole.subspan(batches.from, batches.to - batches.from), sample_rate_hz);
    if (!spectrum) return out;
    const double high_hz = std::min(band.high_hz, 0.49 * sample_rate_hz);
    for (int order = 2; order <= kHighestHarmonic; ++order) {
        const double hz = order * track.fit.frequency_hz;
        if (hz > high_hz) break;
        // Beside the line, and beside what wanders with it.
        const double near = 4.0 + order;
        const double far = 40.0 + order;
        double density = spectrum->noise_density(std::max(hz - far, band.low_hz), hz - near);
        if (hz + far < high_hz)
            density = 0.5 * (density + spectrum->noise_density(hz + near, hz + far));
        out.push_back(harmonic_of(whole, phases, batches, order, density));
    }
    return out;
}

// A power that may be lost in noise, as dB against the tone.
Measurement to_tone_db(double power, double variance, double tone_power) {
    Measurement out;
    const double sd = std::sqrt(variance);
    if (power > 3.0 * sd) {
        out.figure = {power_db(power / tone_power), kDbPerNeper * expanded_95(sd / power)};
    } else {
        out.known = Known::at_most;
        out.figure.value = power_db((std::max(power, 0.0) + kOneSided95 * sd) / tone_power);
    }
    return out;
}

void fill_distortion(ToneFigures& out, const std::vector<HarmonicPower>& harmonics) {
    double power = 0.0;
    double variance = 0.0;
    for (const HarmonicPower& h : harmonics) {
        power += h.power;
        variance += h.variance;
        out.harmonics.push_back({h.order, to_tone_db(h.power, h.variance, out.track.power)});
        out.harmonics.back().to_tone_db.name = fmt::format("harmonic_{}_db", h.order);
    }
    out.thd_db = to_tone_db(power, variance, out.track.power);
    out.thd_percent = out.thd_db;
    out.thd_percent.figure.value = 100.0 * amplitude_from_db(out.thd_db.figure.value);
    out.thd_percent.figure.uncertainty_95 =
        out.thd_percent.figure.value * out.thd_db.figure.uncertainty_95 / (2.0 * kDbPerNeper);
}

void fill_pitch(ToneFigures& out, double seconds) {
    const ToneTrack& track = out.track;
    double density = track.noise_density;
    // A wandering phase makes the mean pitch less sure: as noise of its density all over the notch.
    if (track.wanders()) density += track.wander_power * seconds / 20.0;
    const double amplitude = std::sqrt(2.0 * track.power);
    out.pitch_hz = {track.fit.frequency_hz,
                    expanded_95(least_frequency_sd_hz(amplitude, density, seconds))};
    out.drift_hz_per_s = {track.fit.drift_hz_per_s,
                          expanded_95(least_drift_sd_hz_per_s(amplitude, density, seconds))};
    if (track.followed) {
        out.pitch_hz.uncertainty_95 = std::max(out.pitch_hz.uncertainty_95, track.furthest_hz);
        out.drift_hz_per_s.uncertainty_95 =
            std::max(out.drift_hz_per_s.uncertainty_95, 4.0 * track.furthest_hz / seconds);
    }
}

void fill_noise(ToneFigures& out, const Batches& batches, const std::vector<double>& noises) {
    const ToneTrack& track = out.track;
    const double rest = average(batches.rest);
    const double noise = average(noises);
    const auto db_of = [](double power, double spread) { return Figure{power_db(power), spread}; };
    const double tone = track.power;
    out.level_dbfs = db_of(2.0 * tone, kDbPerNeper * mean_of(batches.tone).uncertainty_95 / tone);
    out.noise_dbfs = db_of(2.0 * noise, kDbPerNeper * mean_of(noises).uncertainty_95 / noise);
    out.sinad_db = db_of((tone + rest) / rest, ratio_spread_db(batches, tone, rest, 0.0));
    const double wander = std::max(track.wander_power, 0.0);
    out.sinad_steady_db = db_of((tone + rest) / (rest + wander),
                                ratio_spread_db(batches, tone, rest + wander, wander));
    out.snr_db = db_of(tone / noise,
                       std::hypot(out.level_dbfs.uncertainty_95, out.noise_dbfs.uncertainty_95));
    if (track.wanders()) {
        out.wander_db = {power_db(wander / tone),
                         kDbPerNeper * expanded_95(track.wander_sd) / wander};
    }
}

Error clipped(const Clipping& clipping) {
    return {
        ErrorCode::invalid_value,
        fmt::format("the sound input clips: {:.2f} % of the samples are at full scale; turn its "
                    "level down and measure again",
                    100.0 * clipping.share)};
}

// Share of samples near the peak that this tone has by itself.
double clean_peak_share(const ToneTrack& track, std::size_t frames) {
    if (track.followed) return kPeakShareOfSine;
    std::vector<float> tone(frames);
    for (std::size_t n = 0; n < frames; ++n) {
        const double t =
            (static_cast<double>(n) - track.notch.middle_frame) / track.notch.sample_rate_hz;
        tone[n] = static_cast<float>(std::cos(phase_at(track.fit, t)));
    }
    return std::max(kPeakShareOfSine, peak_share(tone));
}

Measurement named(const char* name, const Figure& figure, const char* what) {
    return {.name = name, .figure = figure, .what = what};
}

void add_remarks(const ToneFigures& f, const ToneTrackConfig& config, Report& report) {
    report.remarks.push_back(
        fmt::format("Measured from {:g} to {:g} Hz, the tone taken out by a notch {:g} Hz wide.",
                    f.band.low_hz, f.band.high_hz, config.notch_hz));
    if (f.track.wanders()) {
        report.remarks.push_back(fmt::format(
            "The tone wanders: {:.1f} dB against the tone lie within {:g} Hz of it and "
            "are no evenly drifting sine. SINAD counts that as the tone's, the figure for "
            "a steady tone as noise. Behind a filter narrower than some 60 Hz it is the "
            "filter's noise, and the figure for a steady tone is the right one.",
            f.wander_db.value, 0.5 * config.notch_hz));
    }
    if (f.track.followed) {
        report.remarks.push_back(
            fmt::format("It leaves an even drift by up to {:.1f} Hz; the notch followed it.",
                        f.track.furthest_hz));
    }
    if (f.clipping.flat_tops) {
        report.remarks.push_back(fmt::format(
            "The tops are flat: {:.1f} % of the samples lie at {:.1f} dBFS, so something clips "
            "before the "
            "sound input. Turn the receiver's gain down to see whether it is the receiver.",
            100.0 * f.clipping.share, 20.0 * std::log10(f.clipping.level)));
    }
    for (std::size_t i = 0; i < std::min<std::size_t>(3, f.track.others.size()); ++i) {
        report.remarks.push_back(
            fmt::format("Another line stands at {:.1f} Hz, {:.1f} dB below the tone; it counts as "
                        "noise and distortion.",
                        f.track.others[i].frequency_hz, -f.track.others[i].to_tone_db));
    }
    if (f.harmonics.empty()) {
        report.remarks.push_back(
            "No harmonic of the tone lies in the band: distortion cannot be told. Take a lower "
            "tone "
            "or a wider band.");
    }
}

}  // namespace

Result<ToneFigures> measure_tone(std::span<const float> audio, double sample_rate_hz,
                                 const ToneTrackConfig& config) {
    ToneFigures out;
    auto track = track_tone(audio, sample_rate_hz, config);
    if (!track) {
        // Clipping breaks a tone into others: then that is the better thing to say.
        const Clipping clipping = find_clipping(audio);
        return clipping.at_full_scale ? clipped(clipping) : track.error();
    }
    out.track = std::move(*track);
    out.clipping = find_clipping(audio, clean_peak_share(out.track, audio.size()));
    if (out.clipping.at_full_scale) return clipped(out.clipping);
    Band& band = out.band;
    band = config.band;
    band.high_hz = std::min(band.high_hz, 0.5 * sample_rate_hz);
    const auto rest = cut_to_band(out.track.removed(audio), sample_rate_hz, band);
    if (!rest) return rest.error();
    const Batches batches = batches_of(out.track, *rest, sample_rate_hz);
    const std::vector<double> phases = out.track.phases(audio.size());
    const auto harmonics = harmonics_of(out.track, *rest, batches, phases, sample_rate_hz, band);
    fill_pitch(out, static_cast<double>(audio.size()) / sample_rate_hz);
    fill_noise(out, batches, noise_batches(out.track, *rest, batches, phases, harmonics));
    fill_distortion(out, harmonics);
    return out;
}

Report tone_report(const ToneFigures& f, const ToneTrackConfig& config) {
    Report report;
    auto& m = report.measurements;
    m.push_back(named("pitch_hz", f.pitch_hz, "pitch"));
    m.push_back(named("drift_hz_per_s", f.drift_hz_per_s, "drift"));
    m.push_back(named("level_dbfs", f.level_dbfs, "level of the tone"));
    m.push_back(named("sinad_db", f.sinad_db, "SINAD"));
    m.push_back(named("sinad_steady_db", f.sinad_steady_db, "SINAD, wander as noise"));
    m.push_back(named("snr_db", f.snr_db, "tone over noise, no harmonics"));
    m.push_back(named("noise_dbfs", f.noise_dbfs, "noise in the band"));
    if (f.track.wanders()) m.push_back(named("wander_db", f.wander_db, "wander, to the tone"));
    if (!f.harmonics.empty()) {
        m.push_back(f.thd_percent);
        m.back().name = "thd_percent";
        m.back().what = "distortion (THD)";
        m.push_back(f.thd_db);
        m.back().name = "thd_db";
        m.back().what = "distortion, to the tone";
    }
    for (const Harmonic& h : f.harmonics) {
        if (h.order > 5) break;
        m.push_back(h.to_tone_db);
        m.back().what = fmt::format("harmonic {}, to the tone", h.order);
    }
    add_remarks(f, config, report);
    return report;
}

}  // namespace skedlark::bench
