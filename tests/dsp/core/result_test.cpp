// Contract of dsp/core/result.h.
#include "dsp/core/result.h"

#include <gtest/gtest.h>

#include <memory>
#include <string>

namespace skedlark {
namespace {

Result<int> half(int value) {
    if (value % 2 != 0) {
        return Error{ErrorCode::invalid_value,
                     "value: " + std::to_string(value) + ", allowed even"};
    }
    return value / 2;
}

TEST(Result, HoldsAValue) {
    const Result<int> result = half(8);
    ASSERT_TRUE(result.ok());
    EXPECT_TRUE(static_cast<bool>(result));
    EXPECT_EQ(*result, 4);
}

TEST(Result, HoldsWhyThereIsNone) {
    const Result<int> result = half(7);
    ASSERT_FALSE(result.ok());
    EXPECT_EQ(result.error().code, ErrorCode::invalid_value);
    EXPECT_EQ(result.error().message, "value: 7, allowed even");
}

TEST(Result, GivesAwayValuesThatCanOnlyMove) {
    Result<std::unique_ptr<int>> result(std::make_unique<int>(5));
    const std::unique_ptr<int> taken = *std::move(result);
    EXPECT_EQ(*taken, 5);
}

TEST(Result, ValueOfTheErrorTypesOwnKindStaysAValue) {
    const Result<std::string> result(std::string("text"));
    ASSERT_TRUE(result);
    EXPECT_EQ(*result, "text");
}

TEST(Result, StatusIsDoneOrError) {
    const Status done = Done{};
    EXPECT_TRUE(done.ok());
    const Status failed = Error{ErrorCode::disk_full, "out.flac: no room left"};
    EXPECT_FALSE(failed.ok());
}

}  // namespace
}  // namespace skedlark
