// What paths noise alone gives in each octave of the dial's pace: the figures of glide_scale.cpp.
#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <cmath>
#include <random>

#include "dsp/core/units.h"
#include "dsp/tone/glide_scale.h"
#include "tests/support/seed.h"

namespace skedlark::accuracy {
namespace {

constexpr double kPieceS = 20.0;

// Best score of any path in each piece of the noise: far out in the tail a piece holds one at most.
std::vector<double> scores_of(std::size_t octave, double hours, std::uint64_t seed, double low_hz,
                              double high_hz) {
    std::mt19937_64 random(support::seed_for_part(seed, 31));
    std::normal_distribution<float> normal(0.0F, 0.1F);
    std::vector<double> scores;
    const int pieces = static_cast<int>(std::ceil(hours * 3600.0 / kPieceS));
    std::vector<float> audio(static_cast<std::size_t>(kPieceS * kWorkRateHz));
    tone::GlideScale scale(low_hz, high_hz, octave);
    double from_s = 0.0;
    for (int piece = 0; piece < pieces; ++piece) {
        for (float& sample : audio) sample = normal(random);
        scale.process(audio);
        while (scale.known_until_s() >= from_s + kPieceS) {
            scores.push_back(scale.best_score(from_s, from_s + kPieceS));
            from_s += kPieceS;
            scale.forget_before(from_s);
        }
    }
    return scores;
}

void report(std::size_t octave, std::vector<double> scores, double hours) {
    std::sort(scores.begin(), scores.end(), std::greater<>());
    // Maximum likelihood of an exponential tail above a score: one over the mean excess.
    for (const std::size_t count : {10U, 30U, 100U, 300U, 1000U}) {
        if (count >= scores.size()) break;
        double excess = 0.0;
        for (std::size_t n = 0; n < count; ++n) excess += scores[n] - scores[count];
        const double slope = static_cast<double>(count) / excess;
        const double per_hour =
            static_cast<double>(count) / hours * std::exp(slope * scores[count]);
        fmt::print("{} above {:.1f}: slope {:.3f} +- {:.3f}, noise per hour {:.3g}\n", count,
                   scores[count], slope, slope / std::sqrt(static_cast<double>(count)), per_hour);
    }
    fmt::print("octave {}: strongest {:.1f}\n", octave, scores.empty() ? 0.0 : scores.front());
}

}  // namespace
}  // namespace skedlark::accuracy

int main(int argc, char** argv) {
    double hours = 1.0;
    std::uint64_t seed = 11;
    double low_hz = 200.0;
    double high_hz = 3000.0;
    std::vector<std::size_t> octaves;
    CLI::App app{"Paths that noise alone gives, by octave of the dial's pace."};
    app.add_option("--hours", hours, "of noise")->check(CLI::Range(0.01, 1000.0));
    app.add_option("--seed", seed, "of the noise");
    app.add_option("--low", low_hz, "hertz");
    app.add_option("--high", high_hz, "hertz");
    app.add_option("--octave", octaves, "only these, from 0");
    CLI11_PARSE(app, argc, argv);
    for (std::size_t k = 0; k < skedlark::tone::glide_octaves().size(); ++k) {
        if (!octaves.empty() && std::find(octaves.begin(), octaves.end(), k) == octaves.end())
            continue;
        skedlark::accuracy::report(
            k, skedlark::accuracy::scores_of(k, hours, seed, low_hz, high_hz), hours);
    }
}
