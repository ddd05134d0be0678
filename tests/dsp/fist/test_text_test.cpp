// The composition that the header states, counted here.
#include "dsp/fist/test_text.h"

#include <gtest/gtest.h>

#include <cctype>
#include <map>

#include "dsp/fist/test_rules.h"

namespace skedlark::fist {
namespace {

TEST(TestText, IsComposedAsStated) {
    const auto text = *morse::symbols_from_text(kTestText);
    int letters = 0, procedure = 0, others = 0, words = 1;
    std::map<std::string, int> times;
    for (const auto& symbol : text) {
        if (!symbol) {
            ++words;
        } else if (symbol->procedure) {
            ++procedure;
        } else {
            ++times[std::string(symbol->text)];
            ++(std::isalpha(static_cast<unsigned char>(symbol->text[0])) != 0 ? letters : others);
        }
    }
    EXPECT_EQ(words, 39);
    EXPECT_EQ(letters, 104);
    EXPECT_EQ(others, 28);
    EXPECT_EQ(procedure, 4);
    EXPECT_EQ(counted_characters(text), 168);  // 47 CFR 13.207: all but letters count double
    for (const char* all = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"; *all != '\0'; ++all) {
        EXPECT_GE(times[std::string(1, *all)], 2) << *all;
    }
}

TEST(TestText, IsKnownHoweverItIsWritten) {
    std::string other(kTestText);
    for (char& c : other) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
    EXPECT_TRUE(is_test_text(*morse::symbols_from_text(other)));
    other[10] = 'x';
    EXPECT_FALSE(is_test_text(*morse::symbols_from_text(other)));
    EXPECT_FALSE(is_test_text({}));
}

}  // namespace
}  // namespace skedlark::fist
