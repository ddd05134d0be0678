#include "tests/accuracy/study.h"

#include <gtest/gtest.h>

namespace skedlark::accuracy {
namespace {

support::TextScore score_of_seed(std::uint64_t seed) {
    support::TextScore score;
    score.all = {100, static_cast<long>(seed % 7)};
    return score;
}

TEST(Study, SameResultsOnOneThreadAndTwo) {
    StudyOptions options{.first_seed = 1003, .seeds = 31, .threads = 1};
    const auto one = all_of(over_seeds(options, score_of_seed));
    options.threads = 2;
    const auto two = all_of(over_seeds(options, score_of_seed));
    ASSERT_EQ(one.size(), 31U);
    for (std::size_t i = 0; i < one.size(); ++i) {
        EXPECT_EQ(one[i].errors, static_cast<long>((1003 + i) % 7));
        EXPECT_EQ(two[i].errors, one[i].errors);
    }
}

TEST(Study, IntervalIsNeverNarrowerThanSingleErrorsMakeIt) {
    const std::vector<support::ErrorCount> even(20, support::ErrorCount{100, 1});
    const Rate rate = rate_of(even);
    EXPECT_DOUBLE_EQ(rate.count.rate(), 0.01);
    EXPECT_LT(rate.interval.low, 0.0068);
    EXPECT_GT(rate.interval.high, 0.0145);
    const Rate none = rate_of(std::vector<support::ErrorCount>(20, support::ErrorCount{100, 0}));
    EXPECT_DOUBLE_EQ(none.interval.low, 0.0);
    EXPECT_GT(none.interval.high, 0.0015);
}

TEST(Study, InventedCharactersBeyondTheTextAreNoTrouble) {
    const Rate rate = rate_of({{100, 130}, {100, 90}});
    EXPECT_DOUBLE_EQ(rate.count.rate(), 1.1);
    EXPECT_GE(rate.interval.high, 1.1);
}

TEST(Study, CellsMatchTheirColumns) {
    const std::vector<support::TextScore> scores(3, score_of_seed(2));
    EXPECT_EQ(score_cells(scores).size(), score_columns().size());
    EXPECT_EQ(score_cells(scores).front(), "0.02000");
}

}  // namespace
}  // namespace skedlark::accuracy
