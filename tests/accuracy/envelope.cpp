// Single dots decided on the follower's frames, beside the noncoherent on-off error table.
//
// envelope --out FILE: dot energies 6 to 13 dB; "loss_db" is how much less energy theory would
// need.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>

#include "dsp/core/units.h"
#include "tests/accuracy/dot_decisions.h"
#include "tests/accuracy/study.h"
#include "tests/support/on_off_error.h"

namespace skedlark::accuracy {
namespace {

int run(const StudyOptions& options) {
    constexpr double kSpeedWpm = 20.0;
    constexpr int kGroupWithBlank = 6;
    support::CsvTable table({"dot_energy_db", "snr_2500hz_db", "theory", "measured", "measured_low",
                             "measured_high", "missed", "false_marks", "dots", "loss_db"});
    table.add_note(seeds_note(options) + fmt::format(", machine keying {} wpm", kSpeedWpm));
    for (double energy_db = 6.0; energy_db <= 13.0; energy_db += 1.0) {
        const double snr =
            energy_db - support::dot_energy_db(0.0, kReferenceBandwidthHz, kSpeedWpm);
        DotCounts counts;
        for (int i = 0; i < options.seeds; ++i) {
            const auto one =
                decide_dots({.snr_2500hz_db = snr,
                             .speed_wpm = kSpeedWpm,
                             .groups = std::max(1, options.characters / kGroupWithBlank)},
                            options.first_seed + static_cast<std::uint64_t>(i));
            if (!one) {
                fmt::print(stderr, "{}\n", one.error().message);
                return 2;
            }
            counts += *one;
        }
        const double rate = counts.error_rate();
        const long dots = counts.marks + counts.gaps;
        const support::Interval interval =
            support::wilson_interval(std::lround(rate * static_cast<double>(dots)), dots);
        table.add_row(
            {support::cell(energy_db, 0), support::cell(snr, 2),
             support::cell(support::noncoherent_on_off(power_from_db(energy_db)).mean(), 6),
             support::cell(rate, 6), support::cell(interval.low, 6),
             support::cell(interval.high, 6),
             support::cell(static_cast<double>(counts.missed) / static_cast<double>(counts.marks),
                           6),
             support::cell(
                 static_cast<double>(counts.false_marks) / static_cast<double>(counts.gaps), 6),
             support::cell(dots),
             rate > 0.0 ? support::cell(energy_db - energy_db_for_error(rate), 2) : "nan"});
        fmt::print(stderr, "{}\n", fmt::join(table.rows().back(), "  "));
    }
    return deliver(table, options);
}

}  // namespace
}  // namespace skedlark::accuracy

int main(int argc, char** argv) {
    using namespace skedlark::accuracy;
    StudyOptions options;
    options.characters = 240;
    CLI::App app("Errors of single dots on the follower's frames, beside theory");
    add_study_options(app, options);
    if (const int status = parse(app, argc, argv); status >= 0) return status;
    return run(options);
}
