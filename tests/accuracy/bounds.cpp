// What is reachable: machine keying with everything told but the text, and each hand's own floor.
//
// bounds --out FILE: rows "grid, unknown phase", "grid, known phase" against SNR for 20 and 12 wpm,
// and "floor HAND" (no noise). The same random groups and letters-only alphabet as the copying
// study.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <cmath>
#include <random>

#include "dsp/core/units.h"
#include "dsp/synth/keyer.h"
#include "tests/accuracy/grid_decoder.h"
#include "tests/accuracy/study.h"
#include "tests/accuracy/timing_floor.h"

namespace skedlark::accuracy {
namespace {

constexpr int kGroupWithBlank = 6;

struct GridRow {
    double speed_wpm;
    Phase phase;
};

// One message as sums over its dot intervals, in noise of unit power. The oscillator keeps its
// phase; a decoder that is not told it must not gain from marks that happen to differ.
support::TextScore run_grid(const GridRow& row, double snr_2500hz_db, int groups,
                            std::uint64_t seed) {
    const std::string text = letter_groups(groups, seed);
    const double dot_energy =
        power_from_db(snr_2500hz_db) * kReferenceBandwidthHz * dit_s(row.speed_wpm);
    std::mt19937_64 random(support::seed_for_part(seed, 1));
    std::normal_distribution<double> noise(0.0, std::sqrt(0.5));
    std::uniform_real_distribution<double> turn(0.0, 2.0 * M_PI);
    const double phase = row.phase == Phase::known ? 0.0 : turn(random);
    const std::complex<double> tone = std::polar(std::sqrt(dot_energy), phase);
    std::vector<std::complex<double>> sums;
    for (const bool down : keyed_grid(text)) {
        sums.push_back((down ? tone : 0.0) + std::complex<double>(noise(random), noise(random)));
    }
    const GridTold told{std::sqrt(dot_energy), row.phase, Decision::posterior, kLetters};
    return support::score_text(text, decode_grid(sums, told));
}

support::TextScore run_floor(const synth::Fist& fist, double speed_wpm, int groups,
                             std::uint64_t seed) {
    const std::string text = letter_groups(groups, seed);
    synth::Keyer keyer({.speed_wpm = speed_wpm, .fist = fist}, support::seed_for_part(seed, 1));
    synth::Keyed keyed;
    if (const auto sent = keyer.send(text, 0.0, keyed); !sent) {
        fmt::print(stderr, "{}\n", sent.error().message);
        std::exit(2);
    }
    return support::score_text(text, decode_timing(keyed.marks, {fist, speed_wpm, kLetters}));
}

void add(support::CsvTable& table, const std::string& name, double speed_wpm,
         const std::string& snr, const std::vector<support::TextScore>& scores) {
    std::vector<std::string> cells = {name, support::cell(speed_wpm, 0), snr};
    for (std::string& score : score_cells(scores)) cells.push_back(std::move(score));
    fmt::print(stderr, "{}\n", fmt::join(cells, "  "));
    table.add_row(std::move(cells));
}

int run(const StudyOptions& options) {
    std::vector<std::string> columns = {"bound", "speed_wpm", "snr_2500hz_db"};
    for (std::string& column : score_columns()) columns.push_back(std::move(column));
    support::CsvTable table(std::move(columns));
    table.add_note(seeds_note(options));
    const int groups = std::max(1, options.characters / kGroupWithBlank);

    std::vector<double> snrs = options.snr_2500hz_db;
    for (double snr = -16.0; options.snr_2500hz_db.empty() && snr <= 10.0; snr += 1.0) {
        snrs.push_back(snr);
    }
    for (const double speed_wpm : {20.0, 12.0}) {
        for (const Phase phase : {Phase::unknown, Phase::known}) {
            const std::string name =
                phase == Phase::known ? "grid, known phase" : "grid, unknown phase";
            if (name.find(options.rows) == std::string::npos) continue;
            for (const double snr : snrs) {
                add(table, name, speed_wpm, support::cell(snr, 1),
                    over_seeds(options, [&](std::uint64_t seed) {
                        return run_grid({speed_wpm, phase}, snr, groups, seed);
                    }));
            }
        }
    }
    constexpr double kHandWpm = 16.0;
    for (const synth::NamedFist& named : synth::named_fists()) {
        const std::string name = "floor " + std::string(named.name);
        if (name.find(options.rows) == std::string::npos) continue;
        add(table, name, kHandWpm, "nan", over_seeds(options, [&](std::uint64_t seed) {
                return run_floor(named.fist, kHandWpm, groups, seed);
            }));
    }
    return deliver(table, options);
}

}  // namespace
}  // namespace skedlark::accuracy

int main(int argc, char** argv) {
    using namespace skedlark::accuracy;
    StudyOptions options;
    options.seeds = 60;
    options.characters = 120;
    CLI::App app("What is reachable with everything but the text told");
    add_study_options(app, options);
    if (const int status = parse(app, argc, argv); status >= 0) return status;
    return run(options);
}
