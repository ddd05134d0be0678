// How often an expected call is found against SNR, and how often where it was not sent.
//
// calls_curve [--snr DB...] [--out FILE]: a call sent three times in half a minute; the pitch told to
// 1 Hz, the speed not. Columns: found, its 95 % interval, another call taken for it.
// calls_curve --false-calls MINUTES: nothing of the call is sent; how often it is found all the same.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>

#include "dsp/copy/call_search.h"
#include "dsp/synth/scene.h"
#include "dsp/synth/text_makers.h"
#include "dsp/tone/follower.h"
#include "tests/accuracy/nothing_scenes.h"
#include "tests/accuracy/study.h"

namespace skedlark::accuracy {
namespace {

constexpr std::size_t kBlockFrames = 1600;
constexpr double kPitchErrorHz = 1.0;

struct Row {
    const char* name;
    const char* fist;
    double slowest_wpm, fastest_wpm;
    const char* channel;  // "": none
};
constexpr Row kRows[] = {{"machine 20 wpm", "machine", 20.0, 20.0, ""},
                         {"machine 12 wpm", "machine", 12.0, 12.0, ""},
                         {"steady hand", "steady", 12.0, 22.0, ""},
                         {"ordinary hand", "ordinary", 12.0, 22.0, ""},
                         {"swinging hand", "swinging", 12.0, 22.0, ""},
                         {"semi-automatic key", "semi-automatic", 16.0, 24.0, ""},
                         {"poor hand", "poor", 10.0, 18.0, ""},
                         {"fading, quiet", "steady", 14.0, 20.0, "mid-quiet"},
                         {"fading, moderate", "steady", 14.0, 20.0, "mid-moderate"}};

void carrier(synth::SceneConfig& scene, synth::Random& random) {
    steady_carrier(scene, random, -22.0, 10.0);
}
void weak_traffic(synth::SceneConfig& scene, synth::Random& random) {
    scene.wanted.keep_sending = true;
    scene.wanted.speed_wpm = random.uniform(10.0, 28.0);
    scene.wanted.fist = *synth::fist_by_name("ordinary");
    scene.snr_2500hz_db = random.uniform(-20.0, -10.0);
}
void traffic(synth::SceneConfig& scene, synth::Random& random) {
    weak_traffic(scene, random);
    scene.snr_2500hz_db = random.uniform(-8.0, 20.0);
}
constexpr NothingKind kNothings[] = {{"noise", plain_noise},
                                     {"static", crackle},
                                     {"steady carrier", carrier},
                                     {"weak traffic", weak_traffic},
                                     {"traffic", traffic}};

[[noreturn]] void give_up(const Error& error) {
    fmt::print(stderr, "{}\n", error.message);
    std::exit(2);
}

template <typename Each>
void follow(std::span<const float> audio, double pitch_hz, const Each& each) {
    auto follower = tone::Follower::create({.pitch_hz = pitch_hz, .pitch_error_hz = kPitchErrorHz});
    if (!follower) give_up(follower.error());
    std::vector<tone::BasebandFrame> frames;
    while (!audio.empty()) {
        const auto block = audio.first(std::min(kBlockFrames, audio.size()));
        audio = audio.subspan(block.size());
        frames.clear();
        follower->process(block, frames);
        each(frames);
    }
}

copy::CallSearch search_for(const std::vector<std::string>& calls, double least) {
    auto search = copy::CallSearch::create({.calls = calls, .least_log_odds = least});
    if (!search) give_up(search.error());
    return *std::move(search);
}

struct Outcome {
    bool found = false;
    bool other = false;
    double best = -99.0;
};

// One more call is expected that nobody sends: one character of it is another.
std::string neighbour_of(std::string call, synth::Random& random) {
    const auto at = static_cast<std::size_t>(random.uniform(0.0, static_cast<double>(call.size())));
    const char before = call[at];
    while (call[at] == before)
        call[at] = std::isdigit(static_cast<unsigned char>(before)) != 0
                       ? static_cast<char>('0' + static_cast<int>(random.uniform(0.0, 10.0)))
                       : static_cast<char>('A' + static_cast<int>(random.uniform(0.0, 26.0)));
    return call;
}

Outcome one(const Row& row, double snr_2500hz_db, std::uint64_t seed, double least, bool sent) {
    synth::Random random(support::seed_for_part(seed, 2));
    const std::string call = synth::random_call(random);
    const std::string near = neighbour_of(call, random);
    synth::SceneConfig scene = synth::one_text(
        fmt::format("{0} {0} {0}", sent ? call : near),
        random.uniform(row.slowest_wpm, row.fastest_wpm + 1e-9), *synth::fist_by_name(row.fist),
        snr_2500hz_db, support::seed_for_part(seed, 1));
    scene.beat.pitch_hz = random.uniform(450.0, 950.0);
    scene.wanted.transmissions.front().at_s = random.uniform(5.0, 12.0);
    scene.tail_s = 6.0;
    if (*row.channel != '\0') scene.wanted.channel = *synth::channel_by_name(row.channel);
    const auto made = synth::make_scene(scene);
    if (!made) give_up(made.error());
    // Alone, as an operator expects it.
    auto search = search_for({call}, least);
    Outcome outcome;
    std::vector<copy::CallFound> found;
    follow(made->samples, scene.beat.pitch_hz + 0.5 * random.normal(),
           [&](std::span<const tone::BasebandFrame> frames) {
               search.process(frames, found);
               outcome.best = std::max(outcome.best, search.log_odds(0));
           });
    outcome.found = sent && !found.empty();
    outcome.other = !sent && !found.empty();
    return outcome;
}

int curve(const StudyOptions& options, double least) {
    support::CsvTable table({"sent", "snr_2500hz_db", "messages", "found", "found_low",
                             "found_high", "median_log_odds", "near_call_taken_for_it"});
    table.add_note(seeds_note(options));
    for (const Row& row : kRows) {
        if (std::string(row.name).find(options.rows) == std::string::npos) continue;
        for (const double snr : options.snr_2500hz_db) {
            int found = 0;
            int wrong = 0;
            std::vector<double> odds;
            for (int i = 0; i < options.seeds; ++i) {
                const auto seed = options.first_seed + static_cast<std::uint64_t>(i);
                const Outcome outcome = one(row, snr, seed, least, true);
                found += outcome.found ? 1 : 0;
                odds.push_back(outcome.best);
                wrong += one(row, snr, seed, least, false).other ? 1 : 0;
            }
            std::sort(odds.begin(), odds.end());
            const auto interval = support::wilson_interval(found, options.seeds);
            table.add_row({row.name, support::cell(snr, 1), support::cell(long(options.seeds)),
                           support::cell(double(found) / options.seeds, 3),
                           support::cell(interval.low, 3), support::cell(interval.high, 3),
                           support::cell(odds[odds.size() / 2], 1), support::cell(long(wrong))});
            fmt::print(stderr, "{}\n", fmt::join(table.rows().back(), "  "));
        }
    }
    return deliver(table, options);
}

int false_calls(const StudyOptions& options, double minutes, double least) {
    support::CsvTable table({"signal", "minutes", "false_calls", "an_hour"});
    table.add_note(seeds_note(options));
    constexpr double kPieceS = 600.0;
    const int pieces = std::max(1, static_cast<int>(std::lround(minutes * 60.0 / kPieceS)));
    for (const NothingKind& nothing : kNothings) {
        if (std::string(nothing.name).find(options.rows) == std::string::npos) continue;
        std::vector<copy::CallFound> found;
        for (int i = 0; i < pieces; ++i) {
            const auto seed = options.first_seed + static_cast<std::uint64_t>(i);
            synth::Random random(support::seed_for_part(seed, 2));
            synth::SceneConfig scene = nothing_scene(kPieceS, seed, random);
            nothing.set(scene, random);
            const auto made = synth::make_scene(scene);
            if (!made) give_up(made.error());
            auto search = search_for({synth::random_call(random)}, least);
            follow(made->samples, scene.beat.pitch_hz,
                   [&](std::span<const tone::BasebandFrame> frames) {
                       search.process(frames, found);
                   });
        }
        const double hours = pieces * kPieceS / 3600.0;
        table.add_row({nothing.name, support::cell(60.0 * hours, 0),
                       support::cell(static_cast<long>(found.size())),
                       support::cell(static_cast<double>(found.size()) / hours, 2)});
        fmt::print(stderr, "{}\n", fmt::join(table.rows().back(), "  "));
    }
    return deliver(table, options);
}

}  // namespace
}  // namespace skedlark::accuracy

int main(int argc, char** argv) {
    using namespace skedlark::accuracy;
    StudyOptions options;
    options.snr_2500hz_db = {-20.0, -18.0, -16.0, -14.0, -10.0, 0.0, 10.0};
    double minutes = 0.0;
    double least = skedlark::copy::CallSearchConfig{}.least_log_odds;
    CLI::App app("Expected calls found against SNR; odds where nobody sent them");
    app.add_option("--false-calls", minutes, "minutes of each signal without the call");
    app.add_option("--least", least, "log odds at which a call counts as found")
        ->capture_default_str();
    add_study_options(app, options);
    if (const int status = parse(app, argc, argv); status >= 0) return status;
    return minutes > 0.0 ? false_calls(options, minutes, least) : curve(options, least);
}
