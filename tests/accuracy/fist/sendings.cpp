#include "tests/accuracy/fist/sendings.h"

#include <cmath>
#include <complex>
#include <cstdlib>

#include "dsp/morse/code_table.h"
#include "dsp/synth/station.h"

namespace skedlark::study {
namespace {

constexpr double kRateHz = 8000.0;

std::size_t below(std::size_t count, synth::Random& random) {
    return std::min(count - 1,
                    static_cast<std::size_t>(random.uniform() * static_cast<double>(count)));
}

std::string other_letter(const std::string& elements, synth::Random& random) {
    for (;;) {
        const auto& symbol = morse::symbols()[below(26, random)];
        if (symbol.elements != elements) return std::string(symbol.elements);
    }
}

std::size_t some_dot(const std::string& elements, synth::Random& random) {
    std::vector<std::size_t> dots;
    for (std::size_t i = 0; i < elements.size(); ++i) {
        if (elements[i] == '.') dots.push_back(i);
    }
    return dots.empty() ? elements.size() : dots[below(dots.size(), random)];
}

// Puts one fault in before or at run i; false where this kind cannot happen there.
bool put_fault(Sending& sending, const Run& run, std::size_t at, synth::Random& random) {
    std::vector<Run>& out = sending.runs;
    const auto says = [&](const char* kind) { sending.faults.push_back({kind, at}); };
    switch (below(7, random)) {
        case 0:
            out.push_back({other_letter(run.elements, random), run.gap_before});
            says("wrong");
            return true;
        case 1:
            says("missing");
            return true;
        case 2:
            out.push_back({other_letter("", random), run.gap_before});
            out.push_back({run.elements, Gap::character});
            says("extra");
            return true;
        case 3:
            if (run.gap_before != Gap::character || out.empty()) return false;
            out.push_back({run.elements, Gap::element});
            says("run_together");
            return true;
        case 4: {
            if (run.elements.size() < 2) return false;
            const std::size_t cut = 1 + below(run.elements.size() - 1, random);
            out.push_back({run.elements.substr(0, cut), run.gap_before});
            out.push_back({run.elements.substr(cut), Gap::character});
            says("split");
            return true;
        }
        case 5: {  // a dot too many
            const std::size_t dot = some_dot(run.elements, random);
            if (dot == run.elements.size()) return false;
            out.push_back(
                {run.elements.substr(0, dot) + "." + run.elements.substr(dot), run.gap_before});
            says("wrong");
            return true;
        }
        default: {  // a dot too few
            const std::size_t dot = some_dot(run.elements, random);
            if (dot == run.elements.size() || run.elements.size() < 2) return false;
            std::string less = run.elements;
            less.erase(dot, 1);
            out.push_back({less, run.gap_before});
            says("wrong");
            return true;
        }
    }
}

}  // namespace

Sending as_meant(const std::string& text) {
    Sending out;
    out.meant = text;
    const auto symbols = morse::symbols_from_text(text);
    if (!symbols) std::abort();
    Gap gap = Gap::word;
    for (const auto& symbol : *symbols) {
        if (!symbol) {
            gap = Gap::word;
            continue;
        }
        out.runs.push_back({std::string(symbol->elements), gap});
        gap = Gap::character;
        out.letters.emplace_back(symbol->text);
        ++out.characters;
    }
    return out;
}

Sending with_faults(const std::string& text, int one_in, synth::Random& random) {
    const Sending clean = as_meant(text);
    Sending out;
    out.meant = text;
    out.letters = clean.letters;
    out.characters = clean.characters;
    std::size_t free_from = 3;
    for (std::size_t i = 0; i < clean.runs.size(); ++i) {
        // The chance makes up for the characters that are barred.
        const double chance = 1.0 / std::max(1, one_in - 3);
        if (i >= free_from && i + 3 < clean.runs.size() && random.uniform() < chance &&
            put_fault(out, clean.runs[i], i, random)) {
            free_from = i + 4;
            continue;
        }
        out.runs.push_back(clean.runs[i]);
    }
    return out;
}

std::vector<synth::Mark> key(const std::vector<Run>& runs, const synth::Fist& fist,
                             double speed_wpm, synth::Random& random) {
    std::vector<synth::Mark> out;
    const double dot_s = 1.2 / speed_wpm;
    double slow = fist.drift * random.normal();
    double now_s = 1.0;
    const auto length = [&](const synth::Length& of) {
        const double value = random.log_normal(of.mean_dots, of.cv) * dot_s * std::exp(slow);
        if (fist.drift > 0.0) {
            const double keep = std::exp(-value / fist.drift_time_s);
            slow = keep * slow + fist.drift * std::sqrt(1.0 - keep * keep) * random.normal();
        }
        return value;
    };
    for (const Run& run : runs) {
        if (!out.empty()) {
            now_s += length(run.gap_before == Gap::element     ? fist.element_gap
                            : run.gap_before == Gap::character ? fist.character_gap
                                                               : fist.word_gap);
        }
        for (std::size_t i = 0; i < run.elements.size(); ++i) {
            if (i > 0) now_s += length(fist.element_gap);
            const bool dash = run.elements[i] == '-';
            const double on_s = now_s;
            now_s += length(dash ? fist.dash : fist.dot);
            out.push_back({on_s, now_s, dash});
        }
    }
    return out;
}

std::vector<float> sound_of(const std::vector<synth::Mark>& marks, const Sound& sound,
                            std::uint64_t seed) {
    constexpr double kAmplitude = 0.03;
    synth::StationConfig station;
    station.rise_s = sound.rise_s;
    station.note = sound.note;
    const double end_s = marks.empty() ? 3.0 : marks.back().off_s + 1.0;
    std::vector<std::complex<double>> sum(static_cast<std::size_t>(end_s * kRateHz));
    synth::StationSignal signal(station, marks, kAmplitude, kRateHz, seed);
    signal.add(sum);
    // White to half the rate: its density is variance over 4000 Hz.
    const double tone_power = 0.5 * kAmplitude * kAmplitude;
    const double sd = std::sqrt(tone_power / std::pow(10.0, 0.1 * sound.snr_2500hz_db) *
                                (0.5 * kRateHz) / 2500.0);
    synth::Random noise(seed + 0x5eed);
    std::vector<float> out;
    out.reserve(sum.size());
    for (std::size_t n = 0; n < sum.size(); ++n) {
        const double angle = 2.0 * M_PI * sound.pitch_hz * static_cast<double>(n) / kRateHz;
        out.push_back(static_cast<float>(
            (sum[n] * std::complex<double>(std::cos(angle), std::sin(angle))).real() +
            sd * noise.normal()));
    }
    return out;
}

}  // namespace skedlark::study
