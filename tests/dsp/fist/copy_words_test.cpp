#include "dsp/fist/copy_words.h"

#include <gtest/gtest.h>

#include <sstream>

#include "dsp/morse/code_table.h"

namespace skedlark::fist {
namespace {

CopyScore marked(const std::string& sent, const std::string& typed) {
    return *copy_score(*morse::scoring_symbols(sent), *morse::scoring_symbols(typed));
}

TEST(CopyWords, SentAboveTypedAboveWhatIsWrong) {
    const CopyScore score = marked("HEXQV [AR]", "SE_Q [AR]");
    EXPECT_EQ(marked_rows(score, 80),
              "sent   HEXQV [AR]\n"
              "typed  SE_Q  [AR]\n"
              "       x _ -\n");
    EXPECT_EQ(pairs_in_words(score, 10), "S was typed for H: once\n");
    EXPECT_NE(counts_in_words(score).find("3 of 6 characters right (50 %): 1 wrong, 1 left open, "
                                          "1 missing"),
              std::string::npos)
        << counts_in_words(score);
}

TEST(CopyWords, RowsKeepWithinTheColumns) {
    std::string sent, typed;
    for (int i = 0; i < 40; ++i) {
        sent += "QVA7 [KN] ";
        typed += i % 3 == 0 ? "QVA7" : "QVB7 [KN] ";
    }
    for (const std::size_t columns : {30U, 60U, 80U}) {
        std::istringstream lines(marked_rows(marked(sent, typed), columns));
        for (std::string line; std::getline(lines, line);) EXPECT_LE(line.size(), columns) << line;
    }
}

TEST(CopyWords, MorePairsThanAreShownAreCounted) {
    const CopyScore score = marked("ABCDEF", "BCDEFA");
    const CopyScore other = marked("AXBXC", "1X2X3");
    EXPECT_NE(pairs_in_words(other, 2).find("and 1 other"), std::string::npos)
        << pairs_in_words(other, 2);
    EXPECT_TRUE(score.sent == 6);
}

}  // namespace
}  // namespace skedlark::fist
