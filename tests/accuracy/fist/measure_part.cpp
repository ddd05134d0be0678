// Edges, means and spreads against what was truly sent, and the time that grading takes.
#include <fmt/format.h>

#include <chrono>
#include <cmath>
#include <cstdlib>

#include "dsp/fist/grading.h"
#include "dsp/synth/text_makers.h"
#include "tests/accuracy/fist/parts.h"
#include "tests/support/seed.h"

namespace skedlark::study {
namespace {

using morse::ElementKind;

struct Worst {
    double edge_squares = 0.0;
    int edges = 0, missed = 0, marks = 0;
    std::array<double, 3> mean_off{}, sd_off{};  // of the worst sending: dot, dash, element gap
    std::array<double, 3> sd_off_ms{};
};

struct True {
    std::vector<double> lengths[3];
};
True true_lengths(const std::vector<Run>& runs, const std::vector<synth::Mark>& marks) {
    True out;
    std::size_t at = 0;
    for (const Run& run : runs) {
        for (std::size_t n = 0; n < run.elements.size(); ++n, ++at) {
            out.lengths[marks[at].dash ? 1 : 0].push_back(marks[at].off_s - marks[at].on_s);
            if (n > 0) out.lengths[2].push_back(marks[at].on_s - marks[at - 1].off_s);
        }
    }
    return out;
}

double mean_of(const std::vector<double>& v) {
    double sum = 0.0;
    for (const double x : v) sum += x;
    return sum / static_cast<double>(v.size());
}
double sd_of(const std::vector<double>& v) {
    double sum = 0.0;
    for (const double x : v) sum += (x - mean_of(v)) * (x - mean_of(v));
    return std::sqrt(sum / static_cast<double>(v.size() - 1));
}

void compare(const std::vector<synth::Mark>& truth, const fist::Grade& grade, const True& lengths,
             Worst& worst) {
    std::size_t at = 0;
    for (const auto& mark : truth) {
        ++worst.marks;
        const auto& measured = grade.keying.marks;
        while (at < measured.size() && measured[at].off_s < mark.on_s) ++at;
        if (at == measured.size() || measured[at].on_s > mark.off_s) {
            ++worst.missed;
            continue;
        }
        const double on = measured[at].on_s - mark.on_s;
        const double off = measured[at].off_s - mark.off_s;
        worst.edge_squares += on * on + off * off;
        worst.edges += 2;
    }
    for (std::size_t k = 0; k < 3; ++k) {
        const auto& s = grade.statistics.of(static_cast<ElementKind>(k));
        const double sd = sd_of(lengths.lengths[k]);
        worst.mean_off[k] =
            std::max(worst.mean_off[k], std::abs(s.mean_s / mean_of(lengths.lengths[k]) - 1.0));
        worst.sd_off[k] = std::max(worst.sd_off[k], sd > 1e-6 ? std::abs(s.sd_s / sd - 1.0) : 0.0);
        worst.sd_off_ms[k] = std::max(worst.sd_off_ms[k], 1e3 * std::abs(s.sd_s - sd));
    }
}

}  // namespace

support::CsvTable measure_table(const FistStudy& study) {
    support::CsvTable out({"hand", "snr_2500hz_db", "sendings", "edge_rms_ms", "marks_missed_share",
                           "dot_mean_off", "dash_mean_off", "gap_mean_off", "dot_sd_off",
                           "dash_sd_off", "gap_sd_off", "dot_sd_off_ms", "dash_sd_off_ms",
                           "gap_sd_off_ms"});
    for (const auto& named : synth::named_fists()) {
        if (!study.hand.empty() && named.name != study.hand) continue;
        Worst worst;
        for (int n = 0; n < study.seeds; ++n) {
            const std::uint64_t seed = study.first_seed + static_cast<std::uint64_t>(n);
            synth::Random random(support::seed_for_part(seed, 4));
            const std::string text =
                synth::random_groups(study.groups, synth::GroupKind::letters, random);
            const auto runs = as_meant(text).runs;
            const auto marks = key(runs, named.fist, random.uniform(12.0, 22.0), random);
            fist::GradeOptions options;
            options.pitch_hz = 700.0;
            options.text = *morse::symbols_from_text(text);
            const auto grade = fist::grade(sound_of(marks, {study.snr_db}, seed), options);
            if (!grade) std::abort();
            compare(marks, *grade, true_lengths(runs, marks), worst);
        }
        std::vector<std::string> row{
            std::string(named.name), fmt::format("{:.1f}", study.snr_db),
            std::to_string(study.seeds),
            fmt::format("{:.3f}", 1e3 * std::sqrt(worst.edge_squares / worst.edges)),
            fmt::format("{:.4f}", 1.0 * worst.missed / worst.marks)};
        for (const double x : worst.mean_off) row.push_back(fmt::format("{:.4f}", x));
        for (const double x : worst.sd_off) row.push_back(fmt::format("{:.3f}", x));
        for (const double x : worst.sd_off_ms) row.push_back(fmt::format("{:.3f}", x));
        out.add_row(row);
    }
    return out;
}

support::CsvTable time_table(const FistStudy& study) {
    support::CsvTable out({"audio_s", "characters", "graded_in_s"});
    for (int n = 0; n < study.seeds; ++n) {
        const std::uint64_t seed = study.first_seed + static_cast<std::uint64_t>(n);
        synth::Random random(support::seed_for_part(seed, 5));
        const std::string text =
            synth::random_groups(study.groups, synth::GroupKind::letters, random);
        const auto marks = key(as_meant(text).runs, *synth::fist_by_name("ordinary"), 18.0, random);
        const auto audio = sound_of(marks, {study.snr_db}, seed);
        fist::GradeOptions options;
        options.text = *morse::symbols_from_text(text);
        const auto begun = std::chrono::steady_clock::now();
        const auto grade = fist::grade(audio, options);
        const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begun;
        if (!grade) std::abort();
        out.add_row({fmt::format("{:.1f}", static_cast<double>(audio.size()) / 8000.0),
                     std::to_string(5 * study.groups), fmt::format("{:.2f}", took.count())});
    }
    return out;
}

}  // namespace skedlark::study
