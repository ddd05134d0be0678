#include "dsp/fist/score.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_integration.h>
#include <gsl/gsl_randist.h>

#include <cmath>

#include "tests/dsp/fist/keyed.h"
#include "tests/dsp/fist/scenes.h"

namespace skedlark::fist {
namespace {

using morse::ElementKind;

// Equal widths: the tail of a Gaussian at half the distance, by GSL.
TEST(Score, MisreadChanceIsTheGaussianTail) {
    for (const double sd : {0.05, 0.2, 0.4}) {
        const LengthModel dot{std::log(0.06), sd};
        const LengthModel dash{std::log(0.18), sd};
        const double all = std::hypot(sd, kListenerSd);
        const double tail = gsl_cdf_ugaussian_Q(0.5 * std::log(3.0) / all);
        EXPECT_NEAR(misread_chance(dot, dash), tail, 1e-9 + 1e-7 * tail);
    }
}

struct Two {
    double m1, s1, m2, s2, t;
};
double lesser_density(double x, void* parameters) {
    const Two& two = *static_cast<Two*>(parameters);
    return 0.5 * std::min(gsl_ran_gaussian_pdf(x - two.m1, two.s1),
                          gsl_ran_gaussian_pdf(x - two.m2, two.s2));
}

// Unequal widths: the overlap by numerical integration of the lesser density (GSL, adaptive), where
// the second crossing of the densities lies far out.
TEST(Score, MisreadChanceIsTheOverlap) {
    for (const auto& [m2, s1, s2] :
         {std::array{1.1, 0.2, 0.3}, std::array{1.4, 0.25, 0.18}, std::array{0.85, 0.2, 0.25}}) {
        Two two{0.0, s1, m2, s2, 0.0};
        gsl_function f{&lesser_density, &two};
        gsl_integration_workspace* space = gsl_integration_workspace_alloc(1000);
        double overlap = 0.0, error = 0.0;
        gsl_integration_qag(&f, -4.0, 5.0, 0.0, 1e-8, 1000, GSL_INTEG_GAUSS61, space, &overlap,
                            &error);
        gsl_integration_workspace_free(space);
        EXPECT_NEAR(misread_chance({0.0, s1}, {m2, s2}, 0.0), overlap, 0.02 * overlap);
    }
    EXPECT_EQ(misread_chance({1.0, 0.1}, {0.5, 0.1}), 0.5);
}

// ITU-R M.1677-1: keying of 1, 3 and 1, 3, 7 is full marks, at any speed, and through audio.
TEST(Score, MachineKeyingIsFullMarks) {
    EXPECT_NEAR(score_of(machine_models(0.05), 1.0).total, 100.0, 1e-9);
    const Keying keying = measured(made(scene_config(groups(8, 3), "machine", 20.0, 1)));
    const auto hand = find_hand(keying);
    ASSERT_TRUE(hand);
    EXPECT_GT(score_of(measured_models(keying, *hand), 1.0).total, 99.9);
    const Sending sending = read_sending(keying, probable_kinds(keying, *hand));
    EXPECT_GT(score_of(measured_models(keying, sending), 1.0).total, 99.9);
}

double score(ElementKind kind, double factor, double sd) {
    LengthModels models = machine_models(0.06);
    models[index_of(kind)].mean_log += std::log(factor);
    for (LengthModel& model : models) model.sd_log = std::max(model.sd_log, sd);
    return score_of(models, 1.0).total;
}

// From machine keying on, each fault lowers the score, the more of it the more.
TEST(Score, FallsWithEveryFault) {
    const auto falls = [](const std::vector<double>& scores) {
        for (std::size_t i = 1; i < scores.size(); ++i) EXPECT_LE(scores[i], scores[i - 1]) << i;
        EXPECT_LT(scores.back(), 95.0);
    };
    std::vector<double> closed, stretched, short_dash, long_dot, spread;
    for (int i = 0; i <= 20; ++i) {
        closed.push_back(score(ElementKind::character_gap, 1.0 - 0.03 * i, 0.0));
        stretched.push_back(score(ElementKind::character_gap, 1.0 + 0.06 * i, 0.0));
        short_dash.push_back(score(ElementKind::dash, 1.0 - 0.03 * i, 0.0));
        long_dot.push_back(score(ElementKind::dot, 1.0 + 0.08 * i, 0.0));
        spread.push_back(score(ElementKind::dot, 1.0, 0.02 * i));
    }
    falls(closed);
    falls(stretched);
    falls(short_dash);
    falls(long_dot);
    falls(spread);
    EXPECT_NEAR(score_of(machine_models(0.06), 0.8).total, 80.0, 1e-9);
    EXPECT_EQ(score_of(machine_models(0.06), 1.0).parts.size(), 4U);
}

// What was not measured counts as machine sending.
TEST(Score, NothingMeasured) {
    EXPECT_NEAR(score_of({}, 1.0).total, 100.0, 1e-9);
    EXPECT_EQ(measured_models(Keying{}, Hand{})[0].share, 0.0);
}

// The letters have 82 marks.
TEST(Score, MarksOfALetter) {
    double marks = 0.0;
    for (int i = 0; i < 26; ++i)
        marks += static_cast<double>(morse::symbols()[static_cast<std::size_t>(i)].elements.size());
    EXPECT_DOUBLE_EQ(marks / 26.0, kMarksOfALetter);
}

}  // namespace
}  // namespace skedlark::fist
