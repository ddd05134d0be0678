#include "tests/accuracy/bench/tone_rows.h"

#include <fmt/format.h>

#include <cmath>

#include "dsp/bench/sine_fit.h"
#include "dsp/bench/tone_figures.h"
#include "tests/accuracy/bench/score.h"
#include "tests/dsp/bench/test_tone.h"

namespace skedlark::accuracy {
namespace {

using bench::test::TestTone;

struct Scores {
    Score sinad, steady, snr, level, thd, pitch, drift;
};

void print(const std::string& condition, const char* figure, const Score& score) {
    fmt::print("tone,{},{},{}\n", condition, figure, score.line());
    std::fflush(stdout);
}

void run(const std::string& condition, const TestTone& like, const StudyRun& study) {
    if (!study.wants(condition)) return;
    Scores scores;
    int bounds = 0;
    for (int n = 0; n < study.seeds; ++n) {
        TestTone tone = like;
        tone.seed = study.first_seed + static_cast<std::uint64_t>(n);
        std::mt19937_64 random(tone.seed ^ 0x51ED270B);
        // No two alike: neither on a bin nor at a phase of choice.
        tone.pitch_hz += std::uniform_real_distribution<>(-30.0, 30.0)(random);
        tone.phase_rad = std::uniform_real_distribution<>(-3.0, 3.0)(random);
        const auto figures = bench::measure_tone(bench::test::made(tone), tone.sample_rate_hz);
        if (!figures) {
            scores.sinad.fail();
            fmt::print(stderr, "{}: {}\n", condition, figures.error().message);
            continue;
        }
        scores.sinad.add(figures->sinad_db, true_sinad_db(tone));
        scores.steady.add(figures->sinad_steady_db, true_sinad_db(tone));
        scores.snr.add(figures->snr_db, *tone.snr_db);
        scores.level.add(figures->level_dbfs, 20.0 * std::log10(tone.amplitude));
        scores.pitch.add(figures->pitch_hz, tone.pitch_hz);
        scores.drift.add(figures->drift_hz_per_s, tone.drift_hz_per_s);
        if (tone.harmonics.empty()) continue;
        if (figures->thd_db.known == bench::Known::value) {
            scores.thd.add(figures->thd_db.figure, true_thd_db(tone));
        } else {
            ++bounds;
            if (figures->thd_db.figure.value < true_thd_db(tone)) scores.thd.fail();
        }
    }
    print(condition, "sinad_db", scores.sinad);
    if (like.wander_hz == 0.0) print(condition, "sinad_steady_db", scores.steady);
    print(condition, "snr_db", scores.snr);
    print(condition, "level_dbfs", scores.level);
    if (!like.harmonics.empty()) {
        print(fmt::format("{}; {} bounds", condition, bounds), "thd_db", scores.thd);
    }
    if (like.wander_hz > 0.0) return;
    const double density = 0.5 * like.amplitude * like.amplitude *
                           std::pow(10.0, -*like.snr_db / 10.0) /
                           (like.noise_high_hz - like.noise_low_hz);
    const double least = bench::least_frequency_sd_hz(like.amplitude, density, like.seconds);
    print(fmt::format("{}; rms {:+.2f} dB to the bound", condition,
                      20.0 * std::log10(scores.pitch.rms() / least)),
          "pitch_hz", scores.pitch);
    print(condition, "drift_hz_per_s", scores.drift);
}

}  // namespace

void tone_rows(const StudyRun& study) {
    for (const double snr_db : {0.0, 3.0, 10.0, 20.0, 30.0, 40.0}) {
        TestTone tone;
        tone.snr_db = snr_db;
        run(fmt::format("{:g} dB steady", snr_db), tone, study);
        tone.drift_hz_per_s = 0.2;
        run(fmt::format("{:g} dB drift 0.2 Hz/s", snr_db), tone, study);
    }
    for (const double snr_db : {10.0, 30.0}) {
        TestTone tone;
        tone.snr_db = snr_db;
        tone.wander_hz = 0.3;
        run(fmt::format("{:g} dB wander 0.3 Hz", snr_db), tone, study);
        tone.wander_hz = 3.0;
        tone.wander_s = 3.0;
        run(fmt::format("{:g} dB wander 3 Hz", snr_db), tone, study);
    }
    for (const double thd_db : {-20.0, -40.0, -60.0}) {
        for (const double snr_db : {20.0, 36.0, 48.0, 60.0}) {
            TestTone tone;
            tone.snr_db = snr_db;
            tone.drift_hz_per_s = 0.1;
            const double amplitude = std::pow(10.0, thd_db / 20.0);
            tone.harmonics = {{2, amplitude * std::sqrt(0.7), 0.3},
                              {3, amplitude * std::sqrt(0.3), 1.2}};
            run(fmt::format("{:g} dB THD {:g} dB", snr_db, thd_db), tone, study);
        }
    }
}

}  // namespace skedlark::accuracy
