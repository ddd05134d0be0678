// Characters printed where there is nothing to copy: noise, static, mains hum, speech, a steady
// carrier, a station too weak to read.
//
// invented_text --out FILE [--minutes N]: nothing told; ten minutes a seed. What is asked for is at
// most one character in ten minutes. Blanks are not counted, open marks are.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <array>
#include <boost/math/distributions/chi_squared.hpp>
#include <cmath>

#include "dsp/synth/scene.h"
#include "tests/accuracy/chain.h"
#include "tests/accuracy/nothing_scenes.h"
#include "tests/accuracy/speech.h"
#include "tests/accuracy/study.h"

namespace skedlark::accuracy {
namespace {

constexpr double kPieceS = 600.0;

void hum(synth::SceneConfig& scene, synth::Random& random) {
    scene.receiver.mains.on = true;
    scene.receiver.mains.level_db = random.uniform(-10.0, 30.0);
    scene.receiver.mains.mains_hz = random.uniform(49.5, 50.5);
}
void carrier(synth::SceneConfig& scene, synth::Random& random) {
    steady_carrier(scene, random, -20.0, 20.0);
}
void unreadable(synth::SceneConfig& scene, synth::Random& random) {
    scene.wanted.keep_sending = true;
    scene.wanted.speed_wpm = random.uniform(14.0, 24.0);
    scene.snr_2500hz_db = -20.0;
}

constexpr std::array<NothingKind, 5> kKinds = {{{"noise", plain_noise},
                                                {"static", crackle},
                                                {"mains hum", hum},
                                                {"steady carrier", carrier},
                                                {"unreadable station, -20 dB", unreadable}}};

[[noreturn]] void give_up(const Error& error) {
    fmt::print(stderr, "{}\n", error.message);
    std::exit(2);
}

std::vector<float> made_audio(const NothingKind& kind, std::uint64_t seed) {
    synth::Random random(support::seed_for_part(seed, 2));
    synth::SceneConfig scene = nothing_scene(kPieceS, seed, random);
    kind.set(scene, random);
    auto made = synth::make_scene(scene);
    if (!made) give_up(made.error());
    return std::move(made->samples);
}

support::TextScore printed(std::span<const float> audio) {
    const auto copy = copy_audio(audio, {});
    if (!copy) give_up(copy.error());
    support::TextScore score;
    score.all.truth = static_cast<long>(audio.size() / static_cast<std::size_t>(kWorkRateHz));
    score.all.errors = std::count_if(copy->begin(), copy->end(),
                                     [](const Printed& one) { return one.token != " "; });
    return score;
}

// 95 % of a Poisson count (Garwood, Biometrika 28 (1936) 437-442, from memory).
double poisson_high(long count) {
    const boost::math::chi_squared law(2.0 * static_cast<double>(count + 1));
    return 0.5 * boost::math::quantile(law, 0.975);
}
double poisson_low(long count) {
    if (count == 0) return 0.0;
    const boost::math::chi_squared law(2.0 * static_cast<double>(count));
    return 0.5 * boost::math::quantile(law, 0.025);
}

int run(StudyOptions options, double minutes) {
    options.seeds = std::max(1, static_cast<int>(std::lround(minutes * 60.0 / kPieceS)));
    support::CsvTable table({"signal", "minutes", "characters", "per_10_min", "per_10_min_low",
                             "per_10_min_high", "most_in_one_piece"});
    table.add_note(fmt::format("seeds {} to {}, ten minutes each; nothing told; intervals 95 %",
                               options.first_seed,
                               options.first_seed + static_cast<std::uint64_t>(options.seeds) - 1));
    const auto add = [&](const std::string& name,
                         const std::function<support::TextScore(std::uint64_t)>& piece) {
        if (name.find(options.rows) == std::string::npos) return;
        double heard_min = 0.0;
        long characters = 0;
        long most = 0;
        for (const support::TextScore& score : over_seeds(options, piece)) {
            heard_min += static_cast<double>(score.all.truth) / 60.0;
            characters += score.all.errors;
            most = std::max(most, score.all.errors);
        }
        const double tens = heard_min / 10.0;
        table.add_row({name, support::cell(heard_min, 0), support::cell(characters),
                       support::cell(static_cast<double>(characters) / tens, 2),
                       support::cell(poisson_low(characters) / tens, 2),
                       support::cell(poisson_high(characters) / tens, 2), support::cell(most)});
        fmt::print(stderr, "{}\n", fmt::join(table.rows().back(), "  "));
    };
    for (const NothingKind& kind : kKinds) {
        add(kind.name, [&](std::uint64_t seed) { return printed(made_audio(kind, seed)); });
    }
    add("speech", [&](std::uint64_t seed) {
        const auto audio = speech(kPieceS, seed);
        if (!audio) give_up(audio.error());
        return printed(*audio);
    });
    return deliver(table, options);
}

}  // namespace
}  // namespace skedlark::accuracy

int main(int argc, char** argv) {
    using namespace skedlark::accuracy;
    StudyOptions options;
    double minutes = 100.0;
    CLI::App app("Characters printed where there is nothing to copy");
    app.add_option("--minutes", minutes, "of each signal, in tens")
        ->check(CLI::Range(10.0, 100000.0))
        ->capture_default_str();
    app.add_option("--first-seed", options.first_seed)->capture_default_str();
    app.add_option("--threads", options.threads)->check(CLI::Range(1, 2))->capture_default_str();
    app.add_option("--rows", options.rows, "only signals whose name holds this");
    app.add_option("--out", options.out, "CSV file; without it the table is printed");
    if (const int status = parse(app, argc, argv); status >= 0) return status;
    return run(options, minutes);
}
