#include "dsp/copy/call_lanes.h"

#include <gtest/gtest.h>

namespace skedlark::copy {
namespace {

LengthTable table_of(int first, std::vector<float> odds) {
    LengthTable table;
    table.first = first;
    table.odds = std::move(odds);
    return table;
}

Lanes all(double value) {
    Lanes lanes;
    lanes.fill(value);
    return lanes;
}

TEST(CallLanes, SumsAreThoseOfTheLengths) {
    LanesPast past;
    for (int t = 0; t < 1000; ++t) {
        past.append(all(t));
        if (t < 50) continue;
        // A gap of L steps that ends at t + 1 began at t + 1 - L.
        const Lanes gaps = over_gaps(past, table_of(3, {0.25F, 0.5F, 0.25F}));
        EXPECT_DOUBLE_EQ(gaps.at[0], 0.25 * (t - 2) + 0.5 * (t - 3) + 0.25 * (t - 4));
        std::vector<Lanes> marks(8);
        for (std::size_t length = 0; length < marks.size(); ++length)
            marks[length] = all(static_cast<double>(length));
        const Lanes sum = over_marks(past, table_of(2, {0.5F, 0.5F}), marks);
        EXPECT_DOUBLE_EQ(sum.at[kCallLanes - 1], 0.5 * 2.0 * (t - 1) + 0.5 * 3.0 * (t - 2));
    }
}

TEST(CallLanes, ThePastIsAsLongAsPromised) {
    LanesPast past;
    for (int t = 0; t < 777; ++t) past.append(all(t));
    for (int back = 0; back < LanesPast::kPast; ++back)
        EXPECT_EQ(past.back(back).at[0], 776.0 - back);
    past.scale(2.0);
    EXPECT_EQ(past.back(LanesPast::kPast - 1).at[0], 2.0 * (777.0 - LanesPast::kPast));
    past.clear();
    EXPECT_EQ(past.back(0).sum(), 0.0);
    EXPECT_EQ(past.back(LanesPast::kPast - 1).sum(), 0.0);
}

}  // namespace
}  // namespace skedlark::copy
