#include <fmt/format.h>

#include <cmath>
#include <random>

#include "dsp/bench/hum_figures.h"
#include "tests/accuracy/bench/score.h"
#include "tests/accuracy/bench/tone_rows.h"
#include "tests/dsp/bench/test_tone.h"

namespace skedlark::accuracy {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;

struct HumScene {
    double supply_hz = 50.0;
    double first = 0.01, second = 0.005, third = 0.003;  // amplitudes in the audio
    double am = 0.03, fm_hz = 0.5;                       // depth at 2f, deviation at f
    double tone = 0.2, pitch_hz = 712.0;
    double noise = 0.002;
};

std::vector<float> made(const HumScene& scene, double seconds, std::uint64_t seed) {
    const auto noise = bench::test::band_noise(static_cast<std::size_t>(seconds * 8000.0), 8000.0,
                                               0.0, 2700.0, scene.noise, seed);
    std::vector<float> out(noise.size());
    for (std::size_t n = 0; n < out.size(); ++n) {
        const double t = static_cast<double>(n) / 8000.0;
        const double w = kTwoPi * scene.supply_hz * t;
        const double carrier =
            kTwoPi * scene.pitch_hz * t + scene.fm_hz / scene.supply_hz * std::sin(w);
        out[n] = static_cast<float>(
            noise[n] + scene.first * std::cos(w + 0.2) + scene.second * std::cos(2.0 * w + 1.0) +
            scene.third * std::cos(3.0 * w + 2.0) +
            scene.tone * (1.0 + scene.am * std::cos(2.0 * w)) * std::cos(carrier));
    }
    return out;
}

bench::Figure in_db(double power, double power_95) {
    return {10.0 * std::log10(2.0 * power), 10.0 / std::log(10.0) * power_95 / power};
}

const bench::SupplyLine* line_of(const bench::SupplyLines& lines, int order) {
    for (const auto& line : lines.lines) {
        if (line.order == order) return &line;
    }
    return nullptr;
}

void add(Score& score, const bench::SupplyLines& lines, int order, double truth_db) {
    const auto* line = line_of(lines, order);
    if (line == nullptr) {
        score.fail();
    } else {
        score.add(in_db(line->power, line->power_95), truth_db);
    }
}

void row(const std::string& condition, HumScene scene, double mains, const StudyRun& study) {
    if (!study.wants(condition)) return;
    Score supply, first, second, third, am, fm;
    for (int n = 0; n < study.seeds; ++n) {
        const std::uint64_t seed = study.first_seed + static_cast<std::uint64_t>(n);
        std::mt19937_64 random(seed ^ 0x79);
        scene.supply_hz = mains * std::uniform_real_distribution<>(0.99, 1.01)(random);
        // Not on a multiple.
        scene.pitch_hz =
            scene.supply_hz * (14.0 + std::uniform_real_distribution<>(0.1, 0.9)(random));
        const auto figures = bench::measure_hum(made(scene, 15.0, seed), 8000.0, {});
        if (!figures || figures->kind == bench::SupplyKind::none) {
            supply.fail();
            continue;
        }
        supply.add(figures->audio.supply_hz, scene.supply_hz);
        add(first, figures->audio, 1, 20.0 * std::log10(scene.first));
        add(second, figures->audio, 2, 20.0 * std::log10(scene.second));
        add(third, figures->audio, 3, 20.0 * std::log10(scene.third));
        add(am, figures->am, 2, 20.0 * std::log10(scene.am));
        add(fm, figures->fm, 1, 20.0 * std::log10(scene.fm_hz));
    }
    const std::pair<const char*, const Score*> all[] = {
        {"supply_hz", &supply},  {"line f, dB", &first},  {"line 2f, dB", &second},
        {"line 3f, dB", &third}, {"AM line 2f, dB", &am}, {"FM line f, dB", &fm}};
    for (const auto& [figure, score] : all)
        fmt::print("hum,{},\"{}\",{}\n", condition, figure, score->line());
    std::fflush(stdout);
}

}  // namespace

void hum_rows(const StudyRun& study) {
    for (const double mains : {25.0, 50.0, 60.0}) {
        row(fmt::format("{:g} Hz; noise -51 dBFS", mains), {}, mains, study);
        row(fmt::format("{:g} Hz; noise -37 dBFS", mains), {.noise = 0.01}, mains, study);
    }
}

}  // namespace skedlark::accuracy
