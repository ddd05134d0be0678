// Finding stations while the dial is turned: chance, zero beat and verdict against SNR and pace;
// false alarms in noise.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <random>

#include "dsp/tone/glide_finder.h"
#include "tests/accuracy/glide/glide_scenes.h"
#include "tests/support/csv.h"
#include "tests/support/intervals.h"
#include "tests/support/seed.h"

namespace skedlark::accuracy {
namespace {

// A station found further off than this is not the one sent.
constexpr double kSameS = 1.0;

struct Options {
    std::string folder{};
    int seeds = 100;
    std::uint64_t first_seed = support::kFirstReportSeed;
    double hours = 0.0;
    double allowed_per_hour = 0.6;
    double wobble = 0.2;
    bool wide = false;
    bool verbose = false;
    std::vector<double> snr_2500hz_db{};
    std::vector<double> rates_hz_per_s{1000.0};
    std::vector<std::string> kinds{"keyed"};
};

struct Tally {
    long found = 0, keyed = 0, steady = 0, unknown = 0, broadcast = 0, others = 0, inside = 0;
    double error_squares = 0.0, level = 0.0, level_squares = 0.0;
};

GlideKind kind_of(const std::string& name) {
    if (name == "steady") return GlideKind::steady;
    if (name == "speech") return GlideKind::speech;
    if (name == "music") return GlideKind::music;
    return GlideKind::keyed;
}

// What the operator's pace is known to within: the hand's wobble and a little.
tone::GlideFinderConfig finder_config(const Options& options, double rate_hz_per_s) {
    tone::GlideFinderConfig config;
    config.false_alarms_per_hour = options.allowed_per_hour;
    if (options.wide) return config;
    config.slowest_hz_per_s = rate_hz_per_s * 0.8;
    config.fastest_hz_per_s = rate_hz_per_s * 1.25;
    return config;
}

bool run(const Options& options, const GlideTask& task, std::uint64_t seed, Tally& tally) {
    const auto scene = make_glide_scene(task, seed);
    auto finder = tone::GlideFinder::create(finder_config(options, task.rate_hz_per_s));
    if (!scene || !finder) {
        fmt::print(stderr, "{}\n", !scene ? scene.error().message : finder.error().message);
        return false;
    }
    finder->process(scene->samples);
    finder->finish();
    const auto& truth = scene->truth.stations.front();
    bool found = false;
    for (const auto& one : finder->stations()) {
        const double zero_s = truth.zero_beats_s.empty() ? -100.0 : truth.zero_beats_s.front();
        const double error_s = one.zero_beat_s - zero_s;
        if (options.verbose)
            fmt::print(stderr,
                       "{} {:.1f}: error {:+.3f} s, sd {:.3f}, rate {:.0f} ({:.0f}), snr {:.1f}, "
                       "keyed {}, broadcast {}, odds {:.2g}, {:.1f} to {:.1f} s\n",
                       seed, task.snr_2500hz_db, error_s, one.zero_beat_sd_s, one.rate_hz_per_s,
                       truth.rates_hz_per_s.empty() ? 0.0 : truth.rates_hz_per_s.front(),
                       one.snr_2500hz_db, one.keyed ? (*one.keyed ? "yes" : "no") : "unknown",
                       one.broadcast, one.false_alarm_odds, one.from_s - zero_s, one.to_s - zero_s);
        if (found || std::abs(error_s) > kSameS) {
            ++tally.others;
            continue;
        }
        found = true;
        ++(!one.keyed ? tally.unknown : *one.keyed ? tally.keyed : tally.steady);
        tally.broadcast += one.broadcast ? 1 : 0;
        tally.inside += std::abs(error_s) <= 1.96 * one.zero_beat_sd_s ? 1 : 0;
        tally.error_squares += error_s * error_s;
        tally.level += one.snr_2500hz_db - task.snr_2500hz_db;
        tally.level_squares += std::pow(one.snr_2500hz_db - task.snr_2500hz_db, 2.0);
    }
    tally.found += found ? 1 : 0;
    return true;
}

bool curve(const Options& options, support::CsvTable& table) {
    std::vector<double> levels = options.snr_2500hz_db;
    if (levels.empty()) levels = {-20, -19, -18, -17, -16, -15, -14, -12, -10, -6, 0, 10, 30};
    for (const std::string& kind : options.kinds) {
        for (const double rate : options.rates_hz_per_s) {
            for (const double level : levels) {
                Tally tally;
                const GlideTask task{kind_of(kind), level, rate, options.wobble};
                for (int n = 0; n < options.seeds; ++n)
                    if (!run(options, task, options.first_seed + static_cast<std::uint64_t>(n),
                             tally))
                        return false;
                const auto interval = support::wilson_interval(tally.found, options.seeds);
                const auto found = static_cast<double>(tally.found);
                const auto mean = [&](double sum) {
                    return tally.found > 0 ? sum / found : std::nan("");
                };
                table.add_row({kind, support::cell(rate, 0), support::cell(level, 1),
                               support::cell(long{options.seeds}),
                               support::cell(found / options.seeds, 3),
                               support::cell(interval.low, 3), support::cell(interval.high, 3),
                               support::cell(tally.keyed), support::cell(tally.steady),
                               support::cell(tally.unknown), support::cell(tally.broadcast),
                               support::cell(tally.others),
                               support::cell(std::sqrt(mean(tally.error_squares)), 4),
                               support::cell(mean(static_cast<double>(tally.inside)), 3),
                               support::cell(mean(tally.level), 2),
                               support::cell(std::sqrt(mean(tally.level_squares)), 2)});
                if (options.folder.empty())
                    fmt::print(stderr, "{} {} {}: {}\n", kind, rate, level, found / options.seeds);
            }
        }
    }
    return true;
}

bool false_alarms(const Options& options, support::CsvTable& table) {
    for (const double rate : options.rates_hz_per_s) {
        auto finder = tone::GlideFinder::create(finder_config(options, rate));
        if (!finder) return false;
        std::mt19937_64 random(support::seed_for_part(options.first_seed, 99));
        std::normal_distribution<float> normal(0.0F, 0.1F);
        std::vector<float> minute(static_cast<std::size_t>(60.0 * kWorkRateHz));
        const int minutes = static_cast<int>(std::ceil(options.hours * 60.0));
        for (int n = 0; n < minutes; ++n) {
            for (float& sample : minute) sample = normal(random);
            finder->process(minute);
        }
        finder->finish();
        const auto alarms = static_cast<long>(finder->stations().size());
        const auto keyed = std::count_if(finder->stations().begin(), finder->stations().end(),
                                         [](const auto& one) { return one.keyed.value_or(false); });
        table.add_row({support::cell(rate, 0), support::cell(minutes / 60.0, 2),
                       support::cell(options.allowed_per_hour, 2), support::cell(alarms),
                       support::cell(static_cast<double>(alarms) * 60.0 / minutes, 3),
                       support::cell(long{keyed})});
    }
    return true;
}

int deliver(const support::CsvTable& table, const Options& options, const std::string& name) {
    if (options.folder.empty()) {
        fmt::print("{}", table.text());
        return 0;
    }
    const auto written = table.write(options.folder + "/" + name);
    if (!written) fmt::print(stderr, "{}\n", written.error().message);
    return written ? 0 : 3;
}

int study(const Options& options) {
    support::CsvTable found({"kind", "rate_hz_per_s", "snr_2500hz_db", "trials", "chance",
                             "chance_low", "chance_high", "judged_keyed", "judged_steady",
                             "judged_unknown", "broadcast", "other_stations", "zero_beat_rms_s",
                             "inside_95", "level_bias_db", "level_rms_db"});
    found.add_note(fmt::format("wobble {:.2f}, {} false alarms an hour, pace {}, seeds from {}",
                               options.wobble, options.allowed_per_hour,
                               options.wide ? "unknown" : "known", options.first_seed));
    if (!curve(options, found)) return 2;
    // The curve of keyed stations alone is one that skedlark dial --detection takes.
    const bool curve_alone = options.kinds == std::vector<std::string>{"keyed"};
    const char* name = curve_alone ? "glide_curve.csv" : "glide_kinds.csv";
    if (const int status = deliver(found, options, name); status != 0) return status;
    if (options.hours <= 0.0) return 0;
    support::CsvTable alarms(
        {"rate_hz_per_s", "hours", "allowed_per_hour", "alarms", "alarms_per_hour", "keyed"});
    if (!false_alarms(options, alarms)) return 2;
    return deliver(alarms, options, "glide_false_alarms.csv");
}

}  // namespace
}  // namespace skedlark::accuracy

int main(int argc, char** argv) {
    skedlark::accuracy::Options options;
    CLI::App app{
        "Chance of finding a station while the dial is turned, and false alarms in noise."};
    app.add_option("--folder", options.folder, "where the tables go; none: standard output");
    app.add_option("--seeds", options.seeds, "scenes for each point")->check(CLI::Range(0, 100000));
    app.add_option("--first-seed", options.first_seed, "report from 1000 on");
    app.add_option("--hours", options.hours, "of noise; 0: none")->check(CLI::Range(0.0, 1000.0));
    app.add_option("--allowed", options.allowed_per_hour, "false alarms an hour")
        ->check(CLI::Range(0.001, 1000.0));
    app.add_option("--wobble", options.wobble, "of the pace")->check(CLI::Range(0.0, 0.9));
    app.add_option("--snr", options.snr_2500hz_db, "only these, dB in 2500 Hz");
    app.add_option("--rate", options.rates_hz_per_s, "of the dial, hertz a second");
    app.add_option("--kind", options.kinds, "keyed, steady, speech, music")
        ->check(CLI::IsMember({"keyed", "steady", "speech", "music"}));
    app.add_flag("--wide", options.wide, "the pace is not known");
    app.add_flag("--verbose", options.verbose, "each station found");
    CLI11_PARSE(app, argc, argv);
    return skedlark::accuracy::study(options);
}
