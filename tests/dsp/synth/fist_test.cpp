// The five hands are this project's own definition (no published table of spreads was found);
// machine is ITU-R M.1677-1 section 2. That keyed text has these statistics is keyer_test.cpp's.
#include "dsp/synth/fist.h"

#include <gtest/gtest.h>

namespace skedlark::synth {
namespace {

struct Row {
    const char* name;
    double dot_cv, dash, dash_cv, inner, inner_cv, letter, letter_cv, word, word_cv, drift;
};

TEST(Fist, Table) {
    const Row rows[] = {
        {"machine", 0, 3, 0, 1, 0, 3, 0, 7, 0, 0},
        {"steady", .07, 3.05, .05, 1, .08, 3.1, .12, 7.2, .18, 0},
        {"ordinary", .12, 3.3, .09, .95, .14, 3.4, .22, 8, .30, .08},
        {"swinging", .10, 4.4, .12, .8, .12, 3.2, .20, 7.5, .25, 0},
        {"semi-automatic", .02, 3.7, .16, 1, .06, 3.3, .20, 7.5, .25, 0},
        {"poor", .20, 3.0, .16, 1.05, .22, 3.2, .30, 7, .35, .15},
    };
    ASSERT_EQ(named_fists().size(), std::size(rows));
    for (const Row& row : rows) {
        const auto fist = fist_by_name(row.name);
        ASSERT_TRUE(fist) << row.name;
        EXPECT_EQ(fist->dot.mean_dots, 1.0) << row.name;
        EXPECT_EQ(fist->dot.cv, row.dot_cv) << row.name;
        EXPECT_EQ(fist->dash.mean_dots, row.dash) << row.name;
        EXPECT_EQ(fist->dash.cv, row.dash_cv) << row.name;
        EXPECT_EQ(fist->element_gap.mean_dots, row.inner) << row.name;
        EXPECT_EQ(fist->element_gap.cv, row.inner_cv) << row.name;
        EXPECT_EQ(fist->character_gap.mean_dots, row.letter) << row.name;
        EXPECT_EQ(fist->character_gap.cv, row.letter_cv) << row.name;
        EXPECT_EQ(fist->word_gap.mean_dots, row.word) << row.name;
        EXPECT_EQ(fist->word_gap.cv, row.word_cv) << row.name;
        EXPECT_EQ(fist->drift, row.drift) << row.name;
    }
}

TEST(Fist, UnknownNameListsTheNames) {
    const auto fist = fist_by_name("shaky");
    ASSERT_FALSE(fist);
    EXPECT_EQ(fist.error().code, ErrorCode::not_found);
    EXPECT_EQ(fist.error().message,
              "fist: \"shaky\", allowed machine, steady, ordinary, swinging, semi-automatic, poor");
}

}  // namespace
}  // namespace skedlark::synth
