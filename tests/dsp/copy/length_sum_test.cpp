#include "dsp/copy/length_sum.h"

#include <gtest/gtest.h>

#include <random>
#include <vector>

#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

TEST(LengthSum, IsThePlainSum) {
    std::mt19937_64 random(support::test_seed(97));
    std::uniform_real_distribution<float> uniform(0.0F, 1.0F);
    std::vector<float> past(64), odds(64), factor(64);
    for (std::size_t i = 0; i < past.size(); ++i) {
        past[i] = uniform(random);
        odds[i] = uniform(random);
        factor[i] = uniform(random);
    }
    for (int count = 0; count <= 64; ++count) {
        double sum = 0.0;
        for (int i = 0; i < count; ++i) {
            sum += static_cast<double>(past[63 - i]) * static_cast<double>(odds[i]) *
                   static_cast<double>(factor[i]);
        }
        EXPECT_NEAR(
            static_cast<double>(sum_over_lengths(&past[63], odds.data(), factor.data(), count)),
            sum, 1e-5 * (1.0 + sum))
            << count;
    }
}

}  // namespace
}  // namespace skedlark::copy
