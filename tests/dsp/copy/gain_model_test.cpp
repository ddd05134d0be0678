#include "dsp/copy/gain_model.h"

#include <gtest/gtest.h>

#include <Eigen/Dense>
#include <random>
#include <vector>

#include "dsp/tone/frame.h"
#include "tests/dsp/copy/gaussian_gain.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

using test::GaussianGain;

constexpr double kPower = 2.5;
constexpr double kChangesPerS = 6.0;

struct Heard {
    std::complex<double> z;
    double noise;
};

std::vector<Heard> heard_of(int frames, unsigned seed) {
    std::mt19937_64 random(support::test_seed(seed));
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> noise(0.05, 4.0);
    std::vector<Heard> heard;
    for (int i = 0; i < frames; ++i) {
        heard.push_back({{normal(random), normal(random)}, noise(random)});
    }
    return heard;
}

// The filter says of a frame what the whole Gaussian of all frames up to it says of it (Eigen), and
// foresees the gain as that does.
TEST(GainModel, ForwardIsTheWholeGaussian) {
    const std::vector<Heard> heard = heard_of(24, 3);
    const GainModel model(kChangesPerS, kPower);
    GainState state = model.unknown();
    GaussianGain whole(kChangesPerS / tone::kBasebandRateHz, kPower);
    double before = 0.0, ratio = 0.0;
    for (int i = 0; i < static_cast<int>(heard.size()); ++i) {
        const auto foreseen = whole.gain_at(i);
        EXPECT_NEAR(state.gain_re, foreseen.mean.real(), 1e-9);
        EXPECT_NEAR(state.gain_im, foreseen.mean.imag(), 1e-9);
        EXPECT_NEAR(state.gain_gain, foreseen.variance, 1e-9);
        ratio += GainModel::update(state, heard[i].z, heard[i].noise);
        whole.hear(i, heard[i].z, heard[i].noise);
        EXPECT_NEAR(ratio - before, whole.log_ratio() - before, 1e-9) << i;
        before = whole.log_ratio();
        state = model.predict(state);
    }
}

// What came before and what comes after, put together, is what all of it says: the mean of the
// message over the belief is the likelihood of both less that of each alone.
TEST(GainModel, BothSidesTogetherAreTheWholeGaussian) {
    const std::vector<Heard> heard = heard_of(30, 4);
    const GainModel model(kChangesPerS, kPower);
    for (const int cut : {1, 7, 15, 29}) {
        GainState before = model.unknown();
        GaussianGain first(kChangesPerS / tone::kBasebandRateHz, kPower);
        GaussianGain second = first, both = first;
        for (int i = 0; i < cut; ++i) {
            GainModel::update(before, heard[i].z, heard[i].noise);
            first.hear(i, heard[i].z, heard[i].noise);
            both.hear(i, heard[i].z, heard[i].noise);
            before = model.predict(before);
        }
        GainState backward = model.unknown();
        for (int i = 29; i >= cut; --i) {
            backward = model.predict(backward);
            GainModel::update(backward, heard[i].z, heard[i].noise);
            second.hear(i, heard[i].z, heard[i].noise);
            both.hear(i, heard[i].z, heard[i].noise);
        }
        const GainMessage message = model.message(backward);
        const MessageMean mean = mean_of(message, before);
        const MessageMean alone = mean_of(message, model.unknown());
        EXPECT_NEAR(mean.exponent - std::log(mean.spread) - alone.exponent + std::log(alone.spread),
                    both.log_ratio() - first.log_ratio() - second.log_ratio(), 1e-8)
            << cut;
        const GainMeans means = means_of(message, before);
        EXPECT_NEAR(means.gain_re, both.gain_at(cut).mean.real(), 1e-8) << cut;
        EXPECT_NEAR(means.gain_im, both.gain_at(cut).mean.imag(), 1e-8) << cut;
    }
}

// The correlation of the process is (1 + b t) exp(-b t) (Rasmussen, Williams, Gaussian Processes
// for Machine Learning, 2006, equation 4.17, with sqrt(3) / l = b).
TEST(GainModel, ForgetsAsTheProcessDoes) {
    const GainModel model(kChangesPerS, kPower);
    GainState known = model.unknown();
    known.gain_re = 1.0;
    known.gain_gain = 0.0;
    const double b = kChangesPerS / tone::kBasebandRateHz;
    for (int t = 1; t <= 100; ++t) {
        known = model.predict(known);
        EXPECT_NEAR(known.gain_re, (1.0 + b * t) * std::exp(-b * t), 1e-9) << t;
        const double r = known.gain_re;
        EXPECT_NEAR(known.gain_gain, kPower * (1.0 - r * r), 1e-9) << t;
    }
}

}  // namespace
}  // namespace skedlark::copy
