#include "dsp/copy/language_table.h"

#include <gtest/gtest.h>

#include <string_view>

namespace skedlark::copy {
namespace {

int symbol(char c) {
    return c == '_' ? LanguageTable::kGap : c == '0' ? LanguageTable::kFigure : c - 'A' + 1;
}

double before(const LanguageTable& table, char c, std::string_view next) {
    const auto at = [&](std::size_t i) {
        return i < next.size() ? symbol(next[i]) : LanguageTable::kUnknown;
    };
    return table.odds(symbol(c), at(0), at(1), at(2));
}

TEST(LanguageTable, OddsAddToOne) {
    const LanguageTable& table = LanguageTable::plain_english();
    const int unknown = LanguageTable::kUnknown;
    const auto sum = [&](int next, int second, int third) {
        double all = 0.0;
        for (int s = 0; s < LanguageTable::kSymbols; ++s) {
            const double odds = table.odds(s, next, second, third);
            EXPECT_GT(odds, 0.0);
            all += odds;
        }
        return all;
    };
    EXPECT_NEAR(sum(unknown, unknown, unknown), 1.0, 1e-5);
    for (int a = 0; a < LanguageTable::kSymbols; ++a) {
        EXPECT_NEAR(sum(a, unknown, unknown), 1.0, 1e-5);
        for (int b = 0; b < LanguageTable::kSymbols; ++b) {
            EXPECT_NEAR(sum(a, b, unknown), 1.0, 1e-5);
            for (int c = 0; c < LanguageTable::kSymbols; ++c)
                ASSERT_NEAR(sum(a, b, c), 1.0, 1e-5) << a << ' ' << b << ' ' << c;
        }
    }
}

// Witten and Bell's method C by hand: after "BCD" came A three times and X once, so the two kinds
// seen leave 2 of 6 to the shorter context, which saw the same.
TEST(LanguageTable, SmoothsAsPublished) {
    const LanguageTable table("# a remark\nABCD 3\nXBCD 1\n");
    const double even = 1.0 / LanguageTable::kSymbols;
    double a = even;
    double z = even;
    for (int order = 0; order < 4; ++order) {
        a = (3.0 + 2.0 * a) / 6.0;
        z = 2.0 * z / 6.0;
    }
    EXPECT_NEAR(before(table, 'A', "BCD"), a, 1e-6);
    EXPECT_NEAR(before(table, 'Z', "BCD"), z, 1e-6);
    // A context never seen has the odds of the shorter one.
    EXPECT_EQ(before(table, 'A', "BCE"), before(table, 'A', "BC"));
    EXPECT_EQ(before(table, 'A', "ZZZ"), before(table, 'A', ""));
}

// Facts of English (from memory): E is the commonest letter, about 12 in 100 letters; a word has
// about five letters; Q stands before U and hardly anything else does; THE is the commonest word.
TEST(LanguageTable, KnowsEnglish) {
    const LanguageTable& table = LanguageTable::plain_english();
    const double gap = before(table, '_', "");
    EXPECT_NEAR(1.0 / gap - 1.0, 5.0, 0.7);
    EXPECT_NEAR(before(table, 'E', "") / (1.0 - gap), 0.12, 0.015);
    for (char c = 'A'; c <= 'Z'; ++c) {
        if (c != 'E') {
            EXPECT_GT(before(table, 'E', ""), before(table, c, "")) << c;
        }
    }
    EXPECT_GT(before(table, 'T', "HE_"), 0.8);
    EXPECT_GT(before(table, 'H', "E_"), 0.1);
    EXPECT_LT(before(table, 'Q', "THE"), 0.01);
}

}  // namespace
}  // namespace skedlark::copy
