// Source of the distances: Wagner and Fischer, J. ACM 21 (1974) give the recurrence; "kitten" to
// "sitting" = 3 and "Saturday" to "Sunday" = 3 are the examples textbooks and encyclopedias work
// through (from memory).
#include "tests/support/text_score.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

#include "tests/support/seed.h"

namespace skedlark::support {
namespace {

long distance(const std::string& truth, const std::string& copy) {
    return score_text(truth, copy).all.errors;
}

// The recurrence as the paper writes it, without a table: slow, but hard to get wrong.
long slow_distance(const std::string& a, std::size_t i, const std::string& b, std::size_t j) {
    if (i == 0) return static_cast<long>(j);
    if (j == 0) return static_cast<long>(i);
    const long same = a[i - 1] == b[j - 1] ? 0 : 1;
    return std::min({slow_distance(a, i - 1, b, j) + 1, slow_distance(a, i, b, j - 1) + 1,
                     slow_distance(a, i - 1, b, j - 1) + same});
}

std::vector<std::string> single_letters(const std::string& text) {
    std::vector<std::string> letters;
    for (const char c : text) letters.emplace_back(1, c);
    return letters;
}

TEST(TextScore, TextbookDistances) {
    EXPECT_EQ(distance("kitten", "sitting"), 3);
    EXPECT_EQ(distance("Saturday", "Sunday"), 3);
    EXPECT_EQ(distance("", "ABC"), 3);
    EXPECT_EQ(distance("ABC", ""), 3);
    EXPECT_EQ(distance("ABC", "ABC"), 0);
}

TEST(TextScore, EqualsThePlainRecurrence) {
    std::mt19937_64 random(test_seed(11));
    std::uniform_int_distribution<int> length(0, 6);
    std::uniform_int_distribution<int> letter(0, 3);
    for (int trial = 0; trial < 200; ++trial) {
        std::string a(static_cast<std::size_t>(length(random)), 'A');
        std::string b(static_cast<std::size_t>(length(random)), 'A');
        for (char& c : a) c = "ABC "[letter(random)];
        for (char& c : b) c = "ABC "[letter(random)];
        const auto ta = single_letters(a);
        const auto tb = single_letters(b);
        const auto steps = align(ta, tb);
        const auto errors = std::count_if(steps.begin(), steps.end(),
                                          [](const EditStep& s) { return s.edit != Edit::match; });
        EXPECT_EQ(errors, slow_distance(a, a.size(), b, b.size()))
            << '"' << a << "\" \"" << b << '"';
    }
}

TEST(TextScore, RateIsErrorsPerCharacterSentBlanksIncluded) {
    const TextScore score = score_text("AB CD", "AB XD");
    EXPECT_EQ(score.all.truth, 5);
    EXPECT_DOUBLE_EQ(score.all.rate(), 0.2);
}

TEST(TextScore, LettersAndSpacesApart) {
    const TextScore lost = score_text("AB CD EF", "ABCD EF");
    EXPECT_EQ(lost.all.errors, 1);
    EXPECT_EQ(lost.letters.errors, 0);
    EXPECT_EQ(lost.letters.truth, 6);
    EXPECT_EQ(lost.spaces.errors, 1);
    EXPECT_EQ(lost.spaces.truth, 2);
    const TextScore invented = score_text("ABCD", "AB CD");
    EXPECT_EQ(invented.spaces.errors, 1);
    EXPECT_EQ(invented.letters.errors, 0);
    const TextScore letter = score_text("AB CD", "AB CX");
    EXPECT_EQ(letter.spaces.errors, 0);
    EXPECT_EQ(letter.letters.errors, 1);
}

TEST(TextScore, TiesKeepBlanksWithBlanks) {
    // Two errors with the blank matched or not; it must stay matched.
    const TextScore score = score_text("AB CD", "A XD");
    EXPECT_EQ(score.all.errors, 2);
    EXPECT_EQ(score.spaces.errors, 0);
}

TEST(TextScore, SameElementsCountAsEqual) {
    EXPECT_EQ(distance("QVA7 [AR]", "QVA7 +"), 0);
    EXPECT_EQ(distance("A = B (", "A [BT] B [kn]"), 0);
    EXPECT_EQ(distance("[SK]", "SK"), 2);  // one sign run together is not the two letters
}

TEST(TextScore, OpenMarkIsOneError) {
    const TextScore score = score_text("QXB2 DE", "Q_B2 DE");
    EXPECT_EQ(score.all.errors, 1);
    EXPECT_EQ(score.open_marks, 1);
    EXPECT_EQ(distance("_", "_"), 1);
}

TEST(TextScore, InventedCharactersAtTheEdgesCountEdgeBlanksDoNot) {
    EXPECT_EQ(distance("QVA7", " QVA7 "), 0);
    EXPECT_EQ(distance("QVA7", "E QVA7"), 2);
    EXPECT_EQ(distance("QVA7", "QVA7 T"), 2);
}

TEST(TextScore, MarksWhichCopiedCharactersAreRight) {
    const TextScore score = score_text("ABC", "AXC");
    EXPECT_EQ(score.copy_right, (std::vector<bool>{true, false, true}));
    const TextScore extra = score_text("AC", "ABC");
    EXPECT_EQ(extra.copy_right, (std::vector<bool>{true, false, true}));
}

TEST(TextScore, NothingSent) {
    EXPECT_DOUBLE_EQ(score_text("", "").all.rate(), 0.0);
    EXPECT_DOUBLE_EQ(score_text("", "E").all.rate(), 1.0);
}

TEST(TextScore, SumsOverMessages) {
    TextScore sum = score_text("ABCD", "ABCX");
    sum += score_text("ABCD", "ABCD");
    EXPECT_DOUBLE_EQ(sum.all.rate(), 0.125);
    EXPECT_EQ(sum.copy_right.size(), 8U);
}

}  // namespace
}  // namespace skedlark::support
