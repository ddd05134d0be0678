// Requests, read back by the reader of the other side's: the one must understand the other.
#include "dsp/station/repeat_request.h"

#include <gtest/gtest.h>

#include <vector>

#include "dsp/station/repeats.h"

namespace skedlark::station {
namespace {

using Numbers = std::vector<std::size_t>;
// One group is a figure and one stands twice, so only numbers can name them all.
const std::vector<std::string> kGroups = {"ABCDE", "00004", "KLMNO", "KLMNO", "PQRST", "00006"};

TEST(RepeatRequest, IsWrittenByNumberInRuns) {
    // RPT GR and TO as the message sheet and the answer write them.
    EXPECT_EQ(repeat_request(Numbers{4}), "RPT GR 4 ?");
    EXPECT_EQ(repeat_request(Numbers{9, 4, 8, 7, 8}), "RPT GR 4 GR 7 TO 9 ?");
    EXPECT_EQ(repeat_request(Numbers{2, 6}, 5), "RPT GR 2 AA GR 5 ?");
    EXPECT_EQ(repeat_request(Numbers{}, 0), "RPT ALL ?");
    EXPECT_EQ(repeat_request(Numbers{}), "");
}

TEST(RepeatRequest, EverySetOfGroupsIsUnderstoodAsMeant) {
    for (unsigned set = 1; set < 1U << kGroups.size(); ++set) {
        Numbers numbers;
        for (std::size_t i = 0; i < kGroups.size(); ++i) {
            if ((set >> i & 1U) != 0) numbers.push_back(i + 1);
        }
        const std::string sent = repeat_request(numbers);
        const auto read = groups_asked_for(kGroups, sent);
        ASSERT_TRUE(read.ok()) << sent;
        EXPECT_EQ(*read, numbers) << sent;
    }
}

TEST(RepeatRequest, AllAfterIsUnderstoodAsMeant) {
    const auto read = groups_asked_for(kGroups, repeat_request(Numbers{1}, 4));
    ASSERT_TRUE(read.ok());
    EXPECT_EQ(*read, (Numbers{1, 5, 6}));
}

}  // namespace
}  // namespace skedlark::station
