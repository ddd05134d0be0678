#include "dsp/synth/text_makers.h"

#include <gtest/gtest.h>

#include <cmath>
#include <map>
#include <set>
#include <sstream>

#include "dsp/morse/code_table.h"
#include "tests/dsp/synth/probe.h"

namespace skedlark::synth {
namespace {

std::vector<std::string> words(const std::string& text) {
    std::istringstream in(text);
    std::vector<std::string> result;
    for (std::string word; in >> word;) result.push_back(word);
    return result;
}

TEST(TextMakers, GroupsOfFiveEquallyLikely) {
    Random random(probe::test_seed());
    for (const auto& [kind, alphabet] :
         {std::pair{GroupKind::letters, 26}, {GroupKind::figures, 10}, {GroupKind::mixed, 36}}) {
        const auto groups = words(random_groups(4000, kind, random));
        ASSERT_EQ(groups.size(), 4000U);
        std::map<char, int> counts;
        for (const std::string& group : groups) {
            ASSERT_EQ(group.size(), 5U);
            for (const char c : group) ++counts[c];
        }
        EXPECT_EQ(counts.size(), static_cast<std::size_t>(alphabet));
        const double expected = 20000.0 / alphabet;
        for (const auto& [c, count] : counts) {
            EXPECT_NEAR(count, expected, 5.0 * std::sqrt(expected)) << c;
        }
    }
}

// Calls lie in the series QVA to QZZ.
TEST(TextMakers, Calls) {
    Random random(probe::test_seed());
    std::set<std::string> seen;
    for (const std::string& call : words(random_calls(500, random))) {
        ASSERT_EQ(call.size(), 4U) << call;
        EXPECT_EQ(call[0], 'Q');
        EXPECT_GE(call.substr(0, 3), "QVA");
        EXPECT_LE(call.substr(0, 3), "QZZ");
        EXPECT_TRUE(call[3] >= '0' && call[3] <= '9') << call;
        seen.insert(call);
    }
    EXPECT_GT(seen.size(), 200U);
}

TEST(TextMakers, EverythingCanBeSent) {
    Random random(probe::test_seed());
    for (int i = 0; i < 50; ++i) {
        const std::string plain = plain_text(20, random);
        EXPECT_TRUE(morse::symbols_from_text(plain)) << plain;
        EXPECT_GT(words(plain).size(), 60U);
        EXPECT_TRUE(morse::symbols_from_text(weather_groups(10, random)));
    }
    EXPECT_EQ(call_up("QVA7", "QXB2"), "QVA7 QVA7 DE QXB2 QXB2 K");
    EXPECT_TRUE(random_groups(0, GroupKind::letters, random).empty());
}

TEST(TextMakers, SameSeedSameText) {
    Random a(7);
    Random b(7);
    Random c(8);
    const std::string text = plain_text(10, a);
    EXPECT_EQ(text, plain_text(10, b));
    EXPECT_NE(text, plain_text(10, c));
}

}  // namespace
}  // namespace skedlark::synth
