#include "dsp/dial/correction.h"

#include <gsl/gsl_fit.h>
#include <gtest/gtest.h>

#include <cmath>
#include <limits>
#include <random>

#include "tests/dsp/dial/mountain_set.h"
#include "tests/support/seed.h"

namespace skedlark::dial {
namespace {

struct Bench {
    Receiver set = test::mountain_set();
    BandChart chart = *BandChart::create(set.bands[1]);
    double sd = std::hypot(0.1, 0.2);  // reading and chart of band 2
    double centre = 0.5 * (3.0 + 96.0);

    // A station of the chart's frequency at a division, read with an error.
    [[nodiscard]] KnownStation at(double chart_div, double off) const {
        return {chart.mhz_at(chart_div), chart_div + off};
    }
    [[nodiscard]] Correction fit(const std::vector<KnownStation>& known) const {
        const auto made = fit_correction(set, chart, known);
        EXPECT_TRUE(made.ok()) << made.error().message;
        return *made;
    }
};

TEST(Correction, NoStationNoCorrection) {
    const Bench bench;
    const Correction none = bench.fit({});
    EXPECT_EQ(none.dial_div(42.0), 42.0);
    EXPECT_EQ(none.variance(42.0), 0.0);
}

TEST(Correction, OneStationGivesAnOffset) {
    const Bench bench;
    const Correction made = bench.fit({bench.at(30.0, 0.8)});
    EXPECT_NEAR(made.offset_div, 0.8, 1e-9);
    EXPECT_EQ(made.stretch, 0.0);
    EXPECT_FALSE(made.has_stretch);
    EXPECT_FALSE(made.checked);
    EXPECT_NEAR(made.variance(70.0), bench.sd * bench.sd, 1e-12);
}

TEST(Correction, IsTheWeightedLeastSquaresOfGsl) {
    const Bench bench;
    std::mt19937_64 random(support::test_seed(3));
    std::normal_distribution<double> error(0.0, bench.sd);
    std::vector<KnownStation> known;
    std::vector<double> place, off, weight;
    for (const double div : {8.0, 21.0, 40.0, 66.0, 90.0}) {
        known.push_back(bench.at(div, 0.6 + 0.05 * (div - bench.centre) + error(random)));
        place.push_back(div - bench.centre);
        off.push_back(known.back().div - div);
        weight.push_back(1.0 / (bench.sd * bench.sd));
    }
    const Correction made = bench.fit(known);
    ASSERT_TRUE(made.has_stretch);
    ASSERT_TRUE(made.checked);
    double c0 = 0, c1 = 0, v00 = 0, v01 = 0, v11 = 0, squares = 0;
    ASSERT_EQ(gsl_fit_wlinear(place.data(), 1, weight.data(), 1, off.data(), 1, place.size(), &c0,
                              &c1, &v00, &v01, &v11, &squares),
              0);
    EXPECT_NEAR(made.offset_div, c0, 1e-9);
    EXPECT_NEAR(made.stretch, c1, 1e-10);
    EXPECT_NEAR(made.offset_variance, v00, 1e-10);
    EXPECT_NEAR(made.covariance, v01, 1e-12);
    EXPECT_NEAR(made.stretch_variance, v11, 1e-12);
    double y = 0, y_sd = 0;
    ASSERT_EQ(gsl_fit_linear_est(77.0 - bench.centre, c0, c1, v00, v01, v11, &y, &y_sd), 0);
    EXPECT_NEAR(made.dial_div(77.0), 77.0 + y, 1e-9);
    EXPECT_NEAR(std::sqrt(made.variance(77.0)), y_sd, 1e-10);
    EXPECT_NEAR(made.chart_div(made.dial_div(77.0)), 77.0, 1e-12);
}

TEST(Correction, AStretchMustEarnItsPlace) {
    const Bench bench;
    // A difference of 0.3 divisions is what readings of 0.22 give.
    EXPECT_FALSE(bench.fit({bench.at(20.0, 0.4), bench.at(80.0, 0.7)}).has_stretch);
    const Correction made = bench.fit({bench.at(20.0, -1.0), bench.at(80.0, 2.0)});
    EXPECT_TRUE(made.has_stretch);
    EXPECT_NEAR(made.stretch, 0.05, 1e-9);
    EXPECT_FALSE(made.checked);
}

TEST(Correction, AStationThatDoesNotFitIsNamed) {
    const Bench bench;
    const Correction three =
        bench.fit({bench.at(20.0, 0.5), bench.at(50.0, 3.5), bench.at(80.0, 0.6)});
    ASSERT_EQ(three.stations.size(), 3U);
    EXPECT_TRUE(three.stations[0].fits);
    EXPECT_FALSE(three.stations[1].fits);
    EXPECT_TRUE(three.stations[2].fits);
    EXPECT_NEAR(three.offset_div, 0.55, 1e-9);
    EXPECT_NEAR(three.stations[1].residual_div, 2.95, 1e-9);
    EXPECT_GT(three.stations[1].sds, 3.3);
    const Correction five =
        bench.fit({bench.at(10.0, 1.0), bench.at(30.0, 0.4), bench.at(50.0, -4.0),
                   bench.at(70.0, -0.8), bench.at(90.0, -1.4)});
    EXPECT_TRUE(five.has_stretch);
    EXPECT_FALSE(five.stations[2].fits);
    EXPECT_NEAR(five.stretch, -0.03, 1e-9);
}

// Of many dials without a wrong station few are told one (the price is that of one in a thousand
// stations), and a wrong one is nearly always found.
TEST(Correction, NamesWrongStationsAndOnlyThose) {
    const Bench bench;
    std::mt19937_64 random(support::test_seed(21));
    std::normal_distribution<double> error(0.0, bench.sd);
    std::uniform_real_distribution<double> offset(-2.0, 2.0);
    std::uniform_real_distribution<double> place(15.0, 85.0);
    int blamed = 0, found = 0;
    constexpr int kTrials = 500;
    for (int n = 0; n < kTrials; ++n) {
        const double off = offset(random);
        std::vector<KnownStation> known;
        for (int i = 0; i < 5; ++i) known.push_back(bench.at(place(random), off + error(random)));
        const Correction right = bench.fit(known);
        for (const KnownFit& fit : right.stations) blamed += fit.fits ? 0 : 1;
        known[2].div += 5.0 * (n % 2 == 0 ? 1.0 : -1.0);
        const Correction wrong = bench.fit(known);
        found += !wrong.stations[2].fits ? 1 : 0;
    }
    EXPECT_LE(blamed, 15);  // 2.5 expected of 2500 stations
    EXPECT_GE(found, kTrials * 95 / 100);
}

TEST(Correction, ItsUncertaintyIsTrue) {
    const Bench bench;
    std::mt19937_64 random(support::test_seed(8));
    std::normal_distribution<double> error(0.0, bench.sd);
    double squares = 0.0;
    constexpr int kTrials = 2000;
    for (int n = 0; n < kTrials; ++n) {
        std::vector<KnownStation> known;
        for (const double div : {15.0, 35.0, 60.0, 85.0}) {
            known.push_back(bench.at(div, 1.0 + 0.08 * (div - bench.centre) + error(random)));
        }
        const Correction made = bench.fit(known);
        const double truth = 60.0 + 1.0 + 0.08 * (60.0 - bench.centre);
        squares += std::pow(made.dial_div(60.0) - truth, 2.0) / made.variance(60.0);
    }
    // Mean of 2000 chi-squares of one degree of freedom: 1 with a standard deviation of 0.032.
    EXPECT_NEAR(squares / kTrials, 1.0, 0.13);
}

TEST(Correction, StationsThatCannotBeAreNamed) {
    const Bench bench;
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const auto refused = [&](const std::vector<KnownStation>& known) {
        const auto made = fit_correction(bench.set, bench.chart, known);
        return made ? std::string("accepted") : made.error().message;
    };
    EXPECT_NE(refused({{9.0, 50.0}}).find("9 MHz at division 50"), std::string::npos);
    EXPECT_NE(refused({{9.0, 50.0}}).find("3.85 to 6.37 MHz"), std::string::npos);
    EXPECT_NE(refused({{4.35, 130.0}}).find("outside the dial, 0 to 100"), std::string::npos);
    EXPECT_NE(refused({{4.35, 70.0}}).find("the chart has it at 30.00"), std::string::npos);
    EXPECT_NE(refused({{nan, 30.0}}).find("nan MHz"), std::string::npos);
    EXPECT_NE(refused({{4.35, nan}}).find("division nan"), std::string::npos);
    EXPECT_NE(refused({{-4.35, 30.0}}).find("-4.35 MHz"), std::string::npos);
    EXPECT_NE(refused({bench.at(40.0, -8.0), bench.at(60.0, 8.0)}).find("stretch the dial by 80 %"),
              std::string::npos);
}

}  // namespace
}  // namespace skedlark::dial
