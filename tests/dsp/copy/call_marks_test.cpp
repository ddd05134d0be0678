#include "dsp/copy/call_marks.h"

#include <gsl/gsl_sf_bessel.h>
#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

// Reference: Van Trees' ratio with I0 of the GNU Scientific Library, in plain double sums.
TEST(CallMarks, RatiosAreThoseOfAKnownLevelAndUnknownPhase) {
    std::mt19937_64 random(support::test_seed(21));
    std::normal_distribution<float> normal(0.0F, 0.7F);
    constexpr int kLongest = 20;
    CallMarks marks(kLongest);
    std::vector<CallFrame> steps;
    for (int t = 0; t < 60; ++t) {
        steps.push_back({0.4F + normal(random), normal(random), t % 7 == 0 ? 0.3F : 1.0F});
        marks.append({&steps.back(), 1});
        if (t < kLongest) continue;
        for (int length = 1; length <= kLongest; ++length) {
            double re = 0.0;
            double im = 0.0;
            double weight = 0.0;
            for (int i = 0; i < length; ++i) {
                const CallFrame& step = steps[steps.size() - 1 - static_cast<std::size_t>(i)];
                re += double(step.re);
                im += double(step.im);
                weight += double(step.weight);
            }
            double any = 0.0;
            for (std::size_t l = 0; l < kFrameEnergiesDb.size(); ++l) {
                const double power = std::pow(10.0, 0.1 * kFrameEnergiesDb[l]);
                const double x =
                    2.0 * std::sqrt(power) *
                    std::min(std::hypot(re, im), double(kMostLevel) * std::sqrt(power) * weight);
                const double log_ratio = x + std::log(gsl_sf_bessel_I0_scaled(x)) - power * weight;
                const double ratio = std::exp(std::max(log_ratio, double(kLeastLog)));
                const double got = marks.ratios()[static_cast<std::size_t>(length)].at[l];
                EXPECT_NEAR(got / ratio, 1.0, 1e-3) << length << " lane " << l;
                any += ratio / double(kFrameEnergiesDb.size());
            }
            EXPECT_NEAR(marks.ratios()[static_cast<std::size_t>(length)].at.back() / any, 1.0,
                        1e-3);
        }
    }
}

TEST(CallMarks, LostFramesSayNothing) {
    CallMarks marks(10);
    for (int t = 0; t < 30; ++t) {
        const CallFrame nothing;
        marks.append({&nothing, 1});
    }
    for (std::size_t length = 1; length <= 10; ++length)
        EXPECT_NEAR(marks.ratios()[length].at[3], 1.0, 1e-3);
}

}  // namespace
}  // namespace skedlark::copy
