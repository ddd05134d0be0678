#include "dsp/bench/hum_figures.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "dsp/core/units.h"

namespace skedlark::bench {
namespace {

constexpr double kDbPerNeper = 10.0 / std::numbers::ln10;
constexpr double kWidestModulationHz = 330.0;  // of the lines about the tone
constexpr double kLowestToneForHumHz = 250.0;  // below, what stands out is taken as hum
constexpr double kVibratorFromHz = 80.0;
constexpr double kVibratorToHz = 130.0;
constexpr double kMainsAbout = 1.2;  // hertz about 25, 50, 60 that mains may be off, our choice

bool like_mains(double hz) {
    for (const double usual : {25.0, 50.0, 60.0}) {
        if (std::abs(hz - usual) < kMainsAbout) return true;
    }
    return false;
}

struct Modulation {
    std::vector<float> am;
    std::vector<float> fm_hz;
    double rate_hz = 0.0;
};

// Envelope and frequency of the tone, against their means.
Modulation demodulated(std::span<const float> audio, double sample_rate_hz,
                       const ToneTrack& track) {
    const double width =
        std::min(kWidestModulationHz, 0.8 * (track.fit.frequency_hz - 20.0)) + 20.0;
    const Baseband base = to_baseband(audio, sample_rate_hz, track.fit, width);
    Modulation out;
    out.rate_hz = base.rate_hz;
    const auto edge = static_cast<std::size_t>(base.edge_samples) + 1;
    double mean = 0.0;
    for (std::size_t k = edge; k + edge < base.samples.size(); ++k) {
        mean += std::abs(base.samples[k]);
        const double turn = std::arg(base.samples[k] * std::conj(base.samples[k - 1]));
        out.am.push_back(static_cast<float>(std::abs(base.samples[k])));
        out.fm_hz.push_back(static_cast<float>(turn * base.rate_hz / (2.0 * std::numbers::pi)));
    }
    mean /= static_cast<double>(out.am.size());
    for (float& a : out.am) a = static_cast<float>(static_cast<double>(a) / mean - 1.0);
    return out;
}

// A difference of neighbours halves high frequencies: undone.
void undo_difference(SupplyLines& fm, double rate_hz) {
    for (SupplyLine& line : fm.lines) {
        const double x = std::numbers::pi * line.frequency_hz / rate_hz;
        const double gain = std::pow(x / std::sin(x), 2.0);
        line.power *= gain;
        line.power_95 *= gain;
    }
}

// Mains or vibrator, by which comb explains more.
Result<SupplyLines> supply_of(std::span<const float> samples, double rate_hz, SupplySearch search,
                              SupplyKind& kind) {
    const auto mains = find_supply(samples, rate_hz, search);
    if (!mains) return mains.error();
    SupplySearch high = search;
    high.from_hz = kVibratorFromHz;
    high.to_hz = kVibratorToHz;
    const auto vibrator = find_supply(samples, rate_hz, high);
    if (!vibrator) return vibrator.error();
    kind = mains->lines.empty() ? SupplyKind::none : SupplyKind::mains;
    if (vibrator->lines.empty()) return *mains;
    const auto spectrum = periodogram(samples, rate_hz);
    if (!spectrum) return spectrum.error();
    const double high_hz = vibrator->supply_hz.value;
    const CombScore scores(*spectrum, search);
    const double high_score = scores.of(high_hz, search.highest_order);
    const double low_score =
        mains->lines.empty() ? 0.0 : scores.of(mains->supply_hz.value, search.highest_order);
    if (low_score >= high_score) return *mains;
    // All at even multiples of a mains frequency: full-wave ripple looks so, too.
    if (like_mains(0.5 * high_hz)) {
        kind = SupplyKind::mains;
        SupplyLines half = *vibrator;
        half.supply_hz.value *= 0.5;
        half.supply_hz.uncertainty_95 *= 0.5;
        half.drift_hz_per_s *= 0.5;
        return lines_of_supply(samples, rate_hz, search, half);
    }
    kind = SupplyKind::vibrator;
    return *vibrator;
}

double distance_to_multiple(double hz, double of_hz) {
    return std::abs(hz - of_hz * std::round(hz / of_hz));
}

void fill_modulation(HumFigures& out, std::span<const float> audio, double sample_rate_hz,
                     const ToneTrack& track) {
    out.pitch_hz = track.fit.frequency_hz;
    out.tone_power = track.power;
    const Modulation modulation = demodulated(audio, sample_rate_hz, track);
    SupplySearch search;
    search.highest_hz = std::min(kWidestModulationHz, 0.8 * (track.fit.frequency_hz - 20.0));
    search.highest_order = 8;
    SupplyLines supply = out.audio;
    if (out.kind == SupplyKind::none) {
        const auto found = supply_of(modulation.am, modulation.rate_hz, search, out.kind);
        if (found) supply = *found;
        if (out.kind == SupplyKind::none) {
            const auto by_pitch = supply_of(modulation.fm_hz, modulation.rate_hz, search, out.kind);
            if (by_pitch) supply = *by_pitch;
        }
        if (out.kind == SupplyKind::none) return;
        out.audio.supply_hz = supply.supply_hz;
    }
    const auto am = lines_of_supply(modulation.am, modulation.rate_hz, search, supply);
    const auto fm = lines_of_supply(modulation.fm_hz, modulation.rate_hz, search, supply);
    if (am) out.am = *am;
    if (fm) out.fm = *fm;
    undo_difference(out.fm, modulation.rate_hz);
    out.tone_on_multiple = distance_to_multiple(*out.pitch_hz, supply.supply_hz.value) < 0.5;
}

Figure dbfs(double power, double power_95) {
    return {db_from_power(2.0 * std::max(power, 1e-30)), kDbPerNeper * power_95 / power};
}
// Peak of a line of this mean square.
Figure peak(double power, double power_95) {
    const double value = std::sqrt(2.0 * power);
    return {value, 0.5 * value * power_95 / power};
}

std::string frequency(double hz) { return fmt::format("{:.1f} Hz", hz); }

}  // namespace

Result<HumFigures> measure_hum(std::span<const float> audio, double sample_rate_hz,
                               const ToneTrackConfig& config) {
    HumFigures out;
    out.band = config.band;
    out.band.high_hz = std::min(out.band.high_hz, 0.5 * sample_rate_hz);
    const Clipping clipping = find_clipping(audio, 0.25);
    if (clipping.at_full_scale) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("the sound input clips: {:.1f} % of the samples are at full scale; turn "
                        "its level down and measure again",
                        100.0 * clipping.share)};
    }
    SupplySearch search;
    SupplyKind whole_kind = SupplyKind::none;
    const auto whole = supply_of(audio, sample_rate_hz, search, whole_kind);
    if (!whole) return whole.error();
    ToneTrackConfig above = config;
    above.band.low_hz = std::max(above.band.low_hz, kLowestToneForHumHz);
    const auto track = track_tone(audio, sample_rate_hz, above);
    std::vector<float> rest(audio.begin(), audio.end());
    bool tone = static_cast<bool>(track);
    if (track && !config.pitch_hz && !whole->lines.empty() && track->power < whole->power() &&
        distance_to_multiple(track->fit.frequency_hz, whole->supply_hz.value) < 0.5) {
        tone = false;
        out.no_tone = "no tone but hum itself";
    } else if (!track) {
        out.no_tone = track.error().message;
    }
    if (tone) {
        rest = track->removed(audio);
        const double pitch_hz = track->fit.frequency_hz;
        search.skip = [pitch_hz](double hz) {
            return hz > 100.0 && distance_to_multiple(hz, pitch_hz) < 25.0;
        };
        search.highest_hz = std::min(search.highest_hz, pitch_hz - 80.0);
    }
    const auto supply = supply_of(rest, sample_rate_hz, search, out.kind);
    if (!supply) return supply.error();
    out.audio = *supply;
    if (!tone) return out;
    // Lines in the audio beat with the tone and with each other in its envelope: taken out first,
    // unless they may be sidebands of the tone.
    const bool apart =
        !out.audio.lines.empty() &&
        distance_to_multiple(track->fit.frequency_hz, out.audio.supply_hz.value) > 0.5;
    if (apart) {
        fill_modulation(out, without_lines(audio, sample_rate_hz, out.audio), sample_rate_hz,
                        *track);
    } else {
        fill_modulation(out, audio, sample_rate_hz, *track);
    }
    return out;
}

std::vector<std::string> hum_hints(const HumFigures& f) {
    std::vector<std::string> hints;
    const SupplyLines& lines = f.audio;
    const double all = lines.power();
    if (all <= 0.0) return hints;
    if (f.kind == SupplyKind::vibrator) {
        hints.push_back(
            fmt::format("Lines of {:.1f} Hz and its multiples, no mains frequency: points to a "
                        "vibrator, its contacts or its "
                        "buffer capacitor.",
                        lines.supply_hz.value));
        return hints;
    }
    double even = 0.0;
    double odd = 0.0;
    for (const SupplyLine& line : lines.lines) {
        if (line.order % 2 == 0) even += line.power;
        if (line.order > 1 && line.order % 2 == 1) odd += line.power;
    }
    const double first = lines.power_of(1);
    if (first > 0.5 * all) {
        hints.push_back(
            "Strongest at the supply frequency: points to a heater (heater to cathode, its "
            "balance) or "
            "half-wave rectification, such as one half of the rectifier gone.");
    }
    if (even > 0.5 * all) {
        hints.push_back(
            "Strongest at twice the supply frequency: points to ripple of a full-wave rectifier, "
            "so to "
            "its smoothing capacitors or choke.");
        if (first <= 0.0 && odd <= 0.0 && lines.supply_hz.value > 45.0 &&
            lines.supply_hz.value < 55.0) {
            hints.push_back("On battery a vibrator near 100 Hz would look the same.");
        }
    }
    if (odd > 0.2 * all && odd > 0.3 * first) {
        hints.push_back(
            "Strong odd multiples of the supply frequency: points to magnetic pick-up, from a "
            "transformer "
            "or choke into a coil, lead or earth loop.");
    }
    for (std::string& hint : hints) hint += " A hint, no verdict.";
    return hints;
}

Report hum_report(const HumFigures& f, const Chain* chain) {
    Report report;
    auto& m = report.measurements;
    const auto add = [&](const char* name, const Figure& figure, const char* what,
                         const std::string& at = {}, Known known = Known::value) {
        m.push_back({.name = name, .figure = figure, .known = known, .what = what, .at = at});
    };
    // What the chain hums by itself is in it, at worst in step.
    const double chain_power =
        chain != nullptr && chain->hum_dbfs ? 0.5 * power_from_db(*chain->hum_dbfs) : 0.0;
    if (f.kind != SupplyKind::none)
        add("supply_hz", true_pitch(f.audio.supply_hz, chain), "supply frequency");
    if (f.audio.lines.empty()) {
        add("hum_dbfs", {db_from_power(2.0 * std::max(f.audio.least_power, 1e-30)), 0.0},
            "hum in the audio", {}, Known::at_most);
    } else {
        Figure all = dbfs(f.audio.power(), f.audio.power_95());
        all.uncertainty_95 += 20.0 * std::log10(1.0 + std::sqrt(chain_power / f.audio.power()));
        add("hum_dbfs", all, "hum in the audio, all lines");
        if (f.tone_power > 0.0) {
            all.value -= db_from_power(2.0 * f.tone_power);
            add("hum_to_tone_db", all, "hum, to the tone");
        }
    }
    for (const SupplyLine& line : f.audio.lines) {
        add("line_dbfs", dbfs(line.power, line.power_95), "in the audio",
            frequency(line.frequency_hz));
    }
    if (!f.am.lines.empty()) {
        Figure depth = peak(f.am.power(), f.am.power_95());
        add("am_percent", {100.0 * depth.value, 100.0 * depth.uncertainty_95},
            "depth on the tone (AM)");
    }
    for (const SupplyLine& line : f.am.lines) {
        const Figure depth = peak(line.power, line.power_95);
        add("am_line_percent", {100.0 * depth.value, 100.0 * depth.uncertainty_95},
            "AM of the tone", frequency(line.frequency_hz));
    }
    if (!f.fm.lines.empty())
        add("fm_hz", peak(f.fm.power(), f.fm.power_95()), "deviation of the tone (FM)");
    for (const SupplyLine& line : f.fm.lines) {
        add("fm_line_hz", peak(line.power, line.power_95), "FM of the tone",
            frequency(line.frequency_hz));
    }
    report.remarks = hum_hints(f);
    if (!f.am.lines.empty() || !f.fm.lines.empty()) {
        report.remarks.push_back(
            "Hum that sits on the tone came in before the detector: AM points to the supply of the "
            "radio and "
            "intermediate stages or to hum on the aerial, FM to that of an oscillator. A hint, no "
            "verdict.");
    }
    if (f.tone_on_multiple) {
        report.remarks.push_back(
            "The tone lies on a multiple of the supply frequency: hum in the audio and on the tone "
            "cannot "
            "be told apart. Retune by 10 Hz.");
    }
    if (!f.pitch_hz) report.remarks.push_back("No modulation measured: " + f.no_tone);
    if (chain != nullptr) report.chain = chain->name;
    return report;
}

}  // namespace skedlark::bench
