#include <fmt/format.h>

#include <cmath>
#include <random>

#include "dsp/bench/sensitivity.h"
#include "tests/accuracy/bench/score.h"
#include "tests/accuracy/bench/tone_rows.h"
#include "tests/dsp/bench/test_series.h"

namespace skedlark::accuracy {
namespace {

using bench::test::TestReceiver;
using bench::test::TestStep;

const bench::ToneTrackConfig kConfig{.band = {50.0, 4000.0}};

void print(const std::string& condition, const char* figure, const Score& score) {
    fmt::print("sensitivity,{},{},{}\n", condition, figure, score.line());
    std::fflush(stdout);
}

// 8 s on and 16 s off, so that 10 s or less of either are used.
void on_off_row(double ratio_db, const StudyRun& study) {
    const std::string condition = fmt::format("on and off {:g} dB", ratio_db);
    if (!study.wants(condition)) return;
    Score ratio, sinad;
    for (int n = 0; n < study.seeds; ++n) {
        const std::uint64_t seed = study.first_seed + static_cast<std::uint64_t>(n);
        std::mt19937_64 random(seed ^ 0x77);
        const double snr_db = 10.0 * std::log10(std::pow(10.0, 0.1 * ratio_db) - 1.0);
        const TestReceiver set{.equal_dbm = -snr_db,
                               .noise_rms = 0.004,
                               .pitch_hz = std::uniform_real_distribution<>(500.0, 1000.0)(random),
                               .seed = seed};
        const double first_s = std::uniform_real_distribution<>(5.0, 9.0)(random);
        const auto measured = bench::measure_on_off(
            bench::test::made(set, {{first_s, {}}, {10.0, 0.0}, {14.0 - first_s, {}}}), 8000.0,
            kConfig);
        if (!measured) {
            ratio.fail();
            fmt::print(stderr, "{}: {}\n", condition, measured.error().message);
            continue;
        }
        ratio.add(measured->ratio_db, ratio_db);
        if (measured->sinad_db) sinad.add(*measured->sinad_db, ratio_db);
    }
    print(condition, "s_plus_n_over_n_db", ratio);
    print(condition, "sinad_db", sinad);
}

void series_row(double law, const StudyRun& study) {
    const std::string condition = fmt::format("series of 6 levels; law {:g}", law);
    if (!study.wants(condition)) return;
    Score level, sinad, slope;
    for (int n = 0; n < study.seeds; ++n) {
        const std::uint64_t seed = study.first_seed + static_cast<std::uint64_t>(n);
        std::mt19937_64 random(seed ^ 0x78);
        const double equal_dbm = std::uniform_real_distribution<>(-121.0, -119.0)(random);
        const TestReceiver set{.equal_dbm = equal_dbm, .law = law, .seed = seed};
        std::vector<TestStep> steps{{10.0, {}}};
        std::vector<bench::LevelStep> told(1);
        told[0].from_s = 0.0;
        told[0].to_s = 10.0;
        for (int k = 0; k < 6; ++k) {
            const double dbm = -118.0 + 3.0 * k;
            steps.push_back({5.0, dbm});
            bench::LevelStep step;
            step.from_s = 10.0 + 5.0 * k;
            step.to_s = 15.0 + 5.0 * k;
            step.dbm = dbm;
            told.push_back(step);
        }
        const auto series =
            bench::measure_series(bench::test::made(set, steps), 8000.0, told, kConfig);
        if (!series || !series->points.front().for_10db) {
            level.fail();
            continue;
        }
        const auto& point = series->points.front();
        level.add(point.for_10db->level_dbm, equal_dbm + 9.5424 / law);
        slope.add(point.for_10db->slope, law);
        if (point.for_sinad12) sinad.add(point.for_sinad12->level_dbm, equal_dbm + 11.7169 / law);
    }
    print(condition, "level_for_10db_dbm", level);
    print(condition, "level_for_sinad_12db_dbm", sinad);
    print(condition, "rise_db_per_db", slope);
}

}  // namespace

void sensitivity_rows(const StudyRun& study) {
    for (const double ratio_db : {3.0, 6.0, 10.0, 20.0, 30.0, 40.0}) on_off_row(ratio_db, study);
    series_row(1.0, study);
    series_row(2.0, study);
}

}  // namespace skedlark::accuracy
