// Finding tones with the dial at rest: detection and keying verdicts against SNR, false alarms in
// noise.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <random>

#include "dsp/synth/fist.h"
#include "dsp/synth/scene.h"
#include "dsp/tone/finder.h"
#include "tests/support/csv.h"
#include "tests/support/intervals.h"
#include "tests/support/seed.h"

namespace skedlark::accuracy {
namespace {

constexpr double kSceneSeconds = 20.0;

struct Options {
    std::string folder{};
    int seeds = 200;
    std::uint64_t first_seed = support::kFirstReportSeed;
    double hours = 20.0;
    double allowed_per_hour = 1.0;
    std::vector<double> snr_2500hz_db{};
};

struct Kind {
    const char* name;
    bool carrier;
    double rate_hz_per_s;
};

constexpr Kind kKinds[] = {{"keyed", false, 0.02}, {"steady", true, 0.02}, {"racing", false, 1.0}};

struct Tally {
    long found = 0, keyed = 0, steady = 0, unknown = 0, others = 0;
    double level_squares = 0.0;
};

synth::SceneConfig scene_of(const Kind& kind, double snr_2500hz_db, std::uint64_t seed) {
    std::mt19937_64 random(support::seed_for_part(seed, 7));
    const auto between = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(random);
    };
    synth::SceneConfig config;
    config.seconds = kSceneSeconds;
    config.seed = seed;
    config.tail_s = 0.0;
    config.snr_2500hz_db = snr_2500hz_db;
    config.beat.pitch_hz = between(300.0, 2800.0);
    config.beat.drift_hz_per_s = between(-kind.rate_hz_per_s, kind.rate_hz_per_s);
    if (kind.carrier) {
        config.wanted.carrier = true;
    } else {
        config.wanted.keep_sending = true;
        config.wanted.speed_wpm = between(12.0, 20.0);
        if (auto fist = synth::fist_by_name("ordinary")) config.wanted.fist = *fist;
    }
    return config;
}

// False where the scene or the finder could not be made; says why.
bool run(const Kind& kind, double snr_2500hz_db, std::uint64_t seed, Tally& tally) {
    const auto config = scene_of(kind, snr_2500hz_db, seed);
    const auto scene = synth::make_scene(config);
    auto finder = tone::Finder::create({});
    if (!scene || !finder) {
        fmt::print(stderr, "{}\n", !scene ? scene.error().message : finder.error().message);
        return false;
    }
    std::vector<Event> events;
    finder->process(scene->samples, events);
    const double end_hz = config.beat.pitch_hz + config.beat.drift_hz_per_s * kSceneSeconds;
    bool found = false;
    for (const auto& tone : finder->tones()) {
        // The last row of the spectrum ends up to two seconds before the scene does.
        const double reach_hz = 2.0 + 2.0 * std::abs(config.beat.drift_hz_per_s);
        if (found || std::abs(tone.event.pitch_hz - end_hz) > reach_hz) {
            ++tally.others;
            continue;
        }
        found = true;
        ++(!tone.event.keyed ? tally.unknown : *tone.event.keyed ? tally.keyed : tally.steady);
        tally.level_squares += std::pow(tone.event.snr_2500hz_db - snr_2500hz_db, 2.0);
    }
    tally.found += found ? 1 : 0;
    return true;
}

bool detection(const Options& options, support::CsvTable& table) {
    std::vector<double> levels = options.snr_2500hz_db;
    if (levels.empty())
        for (int db = -30; db <= -10; db += db < -26 || db >= -18 ? 2 : 1) levels.push_back(db);
    for (const Kind& kind : kKinds) {
        for (const double level : levels) {
            Tally tally;
            for (int n = 0; n < options.seeds; ++n)
                if (!run(kind, level, options.first_seed + static_cast<std::uint64_t>(n), tally))
                    return false;
            const auto interval = support::wilson_interval(tally.found, options.seeds);
            const auto found = static_cast<double>(tally.found);
            const double level_rms_db =
                tally.found > 0 ? std::sqrt(tally.level_squares / found) : std::nan("");
            table.add_row({kind.name, support::cell(level, 1), support::cell(long{options.seeds}),
                           support::cell(found / options.seeds, 3), support::cell(interval.low, 3),
                           support::cell(interval.high, 3), support::cell(tally.keyed),
                           support::cell(tally.steady), support::cell(tally.unknown),
                           support::cell(tally.others), support::cell(level_rms_db, 2)});
        }
    }
    return true;
}

bool false_alarms(const Options& options, support::CsvTable& table) {
    auto finder = tone::Finder::create({.false_alarms_per_hour = options.allowed_per_hour});
    if (!finder) return false;
    std::mt19937_64 random(support::seed_for_part(options.first_seed, 99));
    std::normal_distribution<float> normal(0.0F, 0.1F);
    std::vector<float> minute(static_cast<std::size_t>(60.0 * kWorkRateHz));
    std::vector<Event> events;
    const int minutes = static_cast<int>(std::ceil(options.hours * 60.0));
    for (int n = 0; n < minutes; ++n) {
        for (float& sample : minute) sample = normal(random);
        finder->process(minute, events);
    }
    long alarms = 0;
    long keyed = 0;
    std::vector<int> seen;  // an event again for a changed verdict is no new alarm
    for (const Event& event : events) {
        const auto* tone = std::get_if<ToneEvent>(&event);
        if (tone == nullptr) continue;
        keyed += tone->keyed.value_or(false) ? 1 : 0;
        if (std::find(seen.begin(), seen.end(), tone->tone) != seen.end()) continue;
        seen.push_back(tone->tone);
        ++alarms;
    }
    table.add_row({support::cell(minutes / 60.0, 2), support::cell(options.allowed_per_hour, 2),
                   support::cell(alarms),
                   support::cell(static_cast<double>(alarms) * 60.0 / minutes, 3),
                   support::cell(keyed)});
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
    support::CsvTable curve({"kind", "snr_2500hz_db", "trials", "found", "found_low", "found_high",
                             "judged_keyed", "judged_steady", "judged_unknown", "other_tones",
                             "level_rms_db"});
    curve.add_note(fmt::format("{:.0f} s of audio, 1 false alarm an hour, seeds from {}",
                               kSceneSeconds, options.first_seed));
    support::CsvTable alarms({"hours", "allowed_per_hour", "alarms", "alarms_per_hour", "keyed"});
    if (!detection(options, curve) || !false_alarms(options, alarms)) return 2;
    const int status = deliver(curve, options, "detection.csv");
    return status != 0 ? status : deliver(alarms, options, "false_alarms.csv");
}

}  // namespace
}  // namespace skedlark::accuracy

int main(int argc, char** argv) {
    skedlark::accuracy::Options options;
    CLI::App app{"Chance of finding a tone against SNR, and false alarms in noise."};
    app.add_option("--folder", options.folder, "where the tables go; none: standard output");
    app.add_option("--seeds", options.seeds, "scenes for each point")->check(CLI::Range(1, 100000));
    app.add_option("--first-seed", options.first_seed, "report from 1000 on");
    app.add_option("--hours", options.hours, "of noise")->check(CLI::Range(0.01, 1000.0));
    app.add_option("--allowed", options.allowed_per_hour, "false alarms an hour in the noise run")
        ->check(CLI::Range(0.01, 1000.0));
    app.add_option("--snr", options.snr_2500hz_db, "only these, dB in 2500 Hz");
    CLI11_PARSE(app, argc, argv);
    return skedlark::accuracy::study(options);
}
