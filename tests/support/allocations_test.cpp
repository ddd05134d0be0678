#include "tests/support/allocations.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <memory>
#include <thread>
#include <vector>

namespace skedlark::support {
namespace {

TEST(Allocations, CountsEachKind) {
    const AllocationCount before;
    std::vector<double> numbers(100);
    EXPECT_EQ(before.made(), 1);
    struct alignas(64) Wide {
        float lanes[16];
    };
    const auto wide = std::make_unique<Wide>();
    wide->lanes[0] = 1.0F;
    EXPECT_EQ(before.made(), 2);
    numbers.push_back(1.0);
    EXPECT_EQ(before.made(), 3);
}

// std::stable_sort takes its buffer by the nothrow form.
TEST(Allocations, CountsTheNothrowForm) {
    std::vector<int> numbers(100);
    for (int i = 0; i < 100; ++i) numbers[static_cast<std::size_t>(i)] = (i * 37) % 100;
    const AllocationCount before;
    std::stable_sort(numbers.begin(), numbers.end());
    EXPECT_EQ(before.made(), 1);
    EXPECT_EQ(numbers[42], 42);
}

TEST(Allocations, ArithmeticMakesNone) {
    std::vector<double> numbers(100, 1.0);
    const AllocationCount before;
    for (double& x : numbers) x = x * 2.0 + 1.0;
    EXPECT_EQ(before.made(), 0);
}

TEST(Allocations, OtherThreadsAreNotCounted) {
    long seen = -1;
    std::thread worker([&seen] {
        const AllocationCount there;
        const std::vector<int> numbers(10);
        seen = there.made();
    });
    const AllocationCount before;
    worker.join();
    EXPECT_EQ(seen, 1);
    EXPECT_EQ(before.made(), 0);
}

}  // namespace
}  // namespace skedlark::support
