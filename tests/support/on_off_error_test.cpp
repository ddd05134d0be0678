#include "tests/support/on_off_error.h"

#include <gtest/gtest.h>

#include <cmath>

#include "dsp/core/units.h"

namespace skedlark::support {
namespace {

// Source: definition as on the MarcumQ page of a published function reference; figures computed in
// double precision outside this project.
TEST(MarcumQ, PublishedDefinitionComputedValues) {
    const struct {
        int m;
        double a, b, q;
    } rows[] = {{1, 1, 1, .732880}, {1, 1, 2, .269012}, {1, 2, 2, .603501},  {1, 2, 1, .918108},
                {1, 3, 4, .196512}, {1, 5, 4, .867050}, {1, 2, 4, .0341348}, {1, 0, 2, .135335},
                {2, 2, 2, .782252}, {4, 3, 5, .135112}};
    for (const auto& row : rows) {
        EXPECT_NEAR(marcum_q(row.m, row.a, row.b), row.q, 6e-7)
            << row.m << ' ' << row.a << ' ' << row.b;
    }
}

// Q1 as the integral of the Rice density, in small steps: the definition itself.
TEST(MarcumQ, EqualsTheIntegral) {
    constexpr double kStep = 1e-4;
    double sum = 0.0;
    for (double x = 1.7 + 0.5 * kStep; x < 20.0; x += kStep) {
        sum += x * std::exp(-0.5 * (x * x + 2.2 * 2.2)) * std::cyl_bessel_i(0.0, 2.2 * x) * kStep;
    }
    EXPECT_NEAR(marcum_q(1, 2.2, 1.7), sum, 1e-7);
}

// Source: textbook formula for on-off keying, envelope, best threshold; figures computed outside.
TEST(OnOffError, Table) {
    const struct {
        double db, pe;
    } rows[] = {{6, .1422},    {8, .07359},    {10, .02686},   {12, .005672},
                {13, .001937}, {14, 5.063e-4}, {15, 9.465e-5}, {16, 1.160e-5}};
    for (const auto& row : rows) {
        EXPECT_NEAR(noncoherent_on_off(power_from_db(row.db)).mean() / row.pe, 1.0, 1e-3) << row.db;
    }
}

TEST(OnOffError, TargetsAndThresholds) {
    const struct {
        double db, pe;
    } targets[] = {{7.17, .1}, {11.37, .01}, {13.52, 1e-3}, {14.97, 1e-4}, {16.06, 1e-5}};
    for (const auto& row : targets) {
        // Energies are given to .01 dB; the steepest row changes by 3 % in that.
        EXPECT_NEAR(noncoherent_on_off(power_from_db(row.db)).mean() / row.pe, 1.0, 0.03) << row.db;
    }
    const struct {
        double db, relative;
    } thresholds[] = {{6, .722}, {10, .608}, {14, .551}, {16, .535}};
    for (const auto& row : thresholds) {
        const double ratio = power_from_db(row.db);
        EXPECT_NEAR(noncoherent_on_off(ratio).threshold / std::sqrt(2.0 * ratio), row.relative,
                    2e-3);
    }
}

// Source: Annamalai and Bhargava, IEEE Trans. Comm. 47 (1999): marks dominate the errors at low
// SNR.
TEST(OnOffError, MarksDominateWhenWeak) {
    const OnOffError weak = noncoherent_on_off(power_from_db(3.0));
    EXPECT_NEAR(weak.miss, .298, 5e-4);
    EXPECT_NEAR(weak.false_mark, .216, 5e-4);
}

// Source: figures of human copying as restated by others: Bell, NPS thesis 1975, Table II (25 wpm,
// 2 kHz); Montnemery, Lund (16 wpm, 2.4 kHz); energies computed outside from the definition.
TEST(DotEnergy, HumanCopyConversions) {
    EXPECT_NEAR(dot_energy_db(-7.0, 2000.0, 25.0), 12.8, 0.05);
    EXPECT_NEAR(dot_energy_db(-13.0, 2000.0, 25.0), 6.8, 0.05);
    EXPECT_NEAR(dot_energy_db(-7.0, 2400.0, 16.0), 15.6, 0.05);
    EXPECT_NEAR(dot_energy_db(-4.0, 2400.0, 16.0), 18.6, 0.05);
    // and what a single dot decided by itself would then suffer
    EXPECT_NEAR(noncoherent_on_off(power_from_db(12.8)).mean(), .00245, 2e-5);
    EXPECT_NEAR(noncoherent_on_off(power_from_db(10.2)).mean(), .0237, 2e-4);
    EXPECT_NEAR(noncoherent_on_off(power_from_db(6.8)).mean(), .113, 1e-3);
}

}  // namespace
}  // namespace skedlark::support
