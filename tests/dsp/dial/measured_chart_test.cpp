#include "dsp/dial/measured_chart.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "dsp/dial/chart.h"
#include "tests/dsp/dial/mountain_set.h"
#include "tests/support/seed.h"

namespace skedlark::dial {
namespace {

// The law of a dial whose capacitor moves in proportion to the angle: frequency by the root of the
// capacitance (Thomson's formula).
double law_mhz(double div) { return 6.4 / std::sqrt(1.0 + 1.8 * div / 100.0); }

std::vector<ChartPoint> measured(int pairs, double sd_div, std::uint64_t seed) {
    std::mt19937_64 random(seed);
    std::normal_distribution<double> error(0.0, 1.0);
    std::vector<ChartPoint> points;
    for (int i = 0; i < pairs; ++i) {
        const double div = 4.0 + 92.0 * i / (pairs - 1);
        points.push_back({div + sd_div * error(random), law_mhz(div)});
    }
    return points;
}

TEST(MeasuredChart, ReadsPairs) {
    const auto pairs =
        parse_pairs("div,mhz\r\n# evening\n\n 3.5 , 4.25\r\n+7,4.5\n1e1,4.75", "p.csv");
    ASSERT_TRUE(pairs.ok()) << pairs.error().message;
    ASSERT_EQ(pairs->size(), 3U);
    EXPECT_EQ((*pairs)[0].div, 3.5);
    EXPECT_EQ((*pairs)[0].mhz, 4.25);
    EXPECT_EQ((*pairs)[0].line, 4);
    EXPECT_EQ((*pairs)[2].div, 10.0);
    EXPECT_EQ((*pairs)[2].line, 6);
}

TEST(MeasuredChart, ALineThatIsNoPairIsNamed) {
    for (const char* line : {"7", "7;4.5", "7,four", "7,nan", "7,4.5,2", "inf,4.5", ","}) {
        const auto pairs = parse_pairs(std::string("1,3.0\n") + line + "\n", "p.csv");
        ASSERT_FALSE(pairs.ok()) << line;
        EXPECT_EQ(pairs.error().message.rfind("p.csv:2: '", 0), 0U) << pairs.error().message;
    }
    EXPECT_FALSE(read_pairs("/nonexistent/p.csv").ok());
}

TEST(MeasuredChart, ExactPairsGiveTheLawBack) {
    const auto made = make_chart(test::mountain_set(), "new", measured(12, 0.0, 1));
    ASSERT_TRUE(made.ok()) << made.error().message;
    for (const PairFit& pair : made->pairs) EXPECT_TRUE(pair.fits);
    const auto chart = BandChart::create(made->band);
    for (double div = 5.0; div < 95.0; div += 0.5) {
        // A tenth of a division at the bent end, where the gaps are eight divisions.
        EXPECT_NEAR(chart->div_at(law_mhz(div)), div, 0.1);
    }
    EXPECT_EQ(made->band.to_mhz, law_mhz(4.0));
}

TEST(MeasuredChart, ItsUncertaintyIsThatOfTheReadings) {
    double squares = 0.0;
    constexpr int kCharts = 40;
    const std::uint64_t seed = support::test_seed(100);
    for (int n = 0; n < kCharts; ++n) {
        const auto made = make_chart(test::mountain_set(), "new",
                                     measured(20, 0.2, support::seed_for_part(seed, n)));
        ASSERT_TRUE(made.ok()) << made.error().message;
        squares += made->chart_sd_div * made->chart_sd_div;
    }
    // A point against the mean of two others of the same spread: sqrt(1.5) times it on a straight
    // line, more where the curve also uses the next ones.
    const double sd = std::sqrt(squares / kCharts);
    EXPECT_GT(sd, 0.2);
    EXPECT_LT(sd, 0.2 * 1.6);
}

TEST(MeasuredChart, APairThatDoesNotFitIsNamed) {
    std::vector<ChartPoint> pairs = measured(12, 0.05, 7);
    pairs[5].div += 2.5;
    std::swap(pairs[1], pairs[9]);  // any order will do
    const auto made = make_chart(test::mountain_set(), "new", pairs);
    ASSERT_TRUE(made.ok()) << made.error().message;
    ASSERT_EQ(made->pairs.size(), 12U);
    EXPECT_EQ(made->band.points.size(), 11U);
    for (std::size_t i = 0; i < 12; ++i) EXPECT_EQ(made->pairs[i].fits, i != 5) << i;
    EXPECT_NEAR(*made->pairs[5].residual_div, 2.5, 0.3);
    EXPECT_LT(made->chart_sd_div, 0.3);
}

TEST(MeasuredChart, PairsThatMakeNoChart) {
    const auto refused = [](std::vector<ChartPoint> pairs) {
        const auto made = make_chart(test::mountain_set(), "new", std::move(pairs));
        return made ? std::string("accepted") : made.error().message;
    };
    EXPECT_NE(refused({{1, 3.0, 1}, {9, 3.5, 2}}).find("2 points"), std::string::npos);
    EXPECT_NE(refused({}).find("MHz"), std::string::npos);
    EXPECT_NE(refused({{1, 3.0, 1}, {9, 3.5, 2}, {9, 3.7, 3}}).find("line 3"), std::string::npos);
    EXPECT_NE(refused({{1, 3.0, 1}, {9, 3.5, 2}, {12, 3.4, 5}, {20, 4.0, 6}}).find("line 5"),
              std::string::npos);
    EXPECT_NE(refused({{1, 3.0, 1}, {9, 3.5, 2}, {150, 4.0, 3}}).find("outside the dial"),
              std::string::npos);
    EXPECT_NE(refused({{1, -3.0, 1}, {9, 3.5, 2}, {15, 4.0, 3}}).find("-3"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::dial
