#include "dsp/spectrum/nth_smallest.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include "tests/support/seed.h"

namespace skedlark::spectrum {
namespace {

// Against a full sort, and the parts on both sides.
void check(const std::vector<float>& values) {
    auto sorted = values;
    std::sort(sorted.begin(), sorted.end());
    for (std::size_t n = 0; n < values.size(); ++n) {
        auto parted = values;
        ASSERT_EQ(nth_smallest(parted, n), sorted[n]) << n << " of " << values.size();
        ASSERT_EQ(parted[n], sorted[n]);
        for (std::size_t i = 0; i < n; ++i) ASSERT_LE(parted[i], parted[n]);
        for (std::size_t i = n; i < parted.size(); ++i) ASSERT_GE(parted[i], parted[n]);
        std::sort(parted.begin(), parted.end());
        ASSERT_EQ(parted, sorted) << "values were lost";
    }
}

TEST(NthSmallest, AgreesWithAFullSort) {
    std::mt19937 random(static_cast<std::mt19937::result_type>(support::test_seed(131)));
    std::exponential_distribution<float> power(1.0F);
    for (const std::size_t count : {1U, 2U, 3U, 4U, 31U, 128U, 250U}) {
        std::vector<float> values(count);
        for (float& value : values) value = power(random);
        check(values);
    }
}

TEST(NthSmallest, OrdersThatAreNotRandom) {
    std::vector<float> up;
    std::vector<float> hill;
    std::vector<float> few;
    for (int i = 0; i < 200; ++i) {
        up.push_back(static_cast<float>(i));
        hill.push_back(static_cast<float>(std::min(i, 199 - i)));
        few.push_back(static_cast<float>(i * 7 % 3));
    }
    check(up);
    check({up.rbegin(), up.rend()});
    check(hill);
    check(few);
    check(std::vector<float>(200, 0.0F));
}

TEST(NthSmallest, EndsWithValuesThatAreNoNumber) {
    std::vector<float> values(300, std::numeric_limits<float>::quiet_NaN());
    nth_smallest(values, 150);
    for (std::size_t i = 0; i < values.size(); i += 3) values[i] = static_cast<float>(i);
    for (const std::size_t n : {0U, 99U, 100U, 299U}) nth_smallest(values, n);
    EXPECT_EQ(std::count_if(values.begin(), values.end(), [](float v) { return v >= 0.0F; }), 100);
}

}  // namespace
}  // namespace skedlark::spectrum
