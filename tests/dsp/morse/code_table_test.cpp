// Against ITU-R M.1677-1 (10/2009) Annex 1 part I section 1.1, patterns and lengths as published;
// where a row is from memory or common practice it says so.
#include "dsp/morse/code_table.h"

#include <gtest/gtest.h>

#include <map>
#include <set>
#include <string>

namespace skedlark::morse {
namespace {

struct Row {
    const char* text;
    const char* elements;
    int units;
    bool procedure = false;
};

const Row kRows[] = {
    // Letters, M.1677-1 section 1.1.1; lengths computed from the patterns.
    {"A", ".-", 5},
    {"B", "-...", 9},
    {"C", "-.-.", 11},
    {"D", "-..", 7},
    {"E", ".", 1},
    {"F", "..-.", 9},
    {"G", "--.", 9},
    {"H", "....", 7},
    {"I", "..", 3},
    {"J", ".---", 13},
    {"K", "-.-", 9},
    {"L", ".-..", 9},
    {"M", "--", 7},
    {"N", "-.", 5},
    {"O", "---", 11},
    {"P", ".--.", 11},
    {"Q", "--.-", 13},
    {"R", ".-.", 7},
    {"S", "...", 5},
    {"T", "-", 3},
    {"U", "..-", 7},
    {"V", "...-", 9},
    {"W", ".--", 9},
    {"X", "-..-", 11},
    {"Y", "-.--", 13},
    {"Z", "--..", 11},
    // Accented E: presence in the Recommendation verified, pattern from memory.
    {"\u00c9", "..-..", 11},
    // Figures, section 1.1.2.
    // 1+1+3+3+3+4.
    {"1", ".----", 17},
    {"2", "..---", 15},
    {"3", "...--", 13},
    {"4", "....-", 11},
    {"5", ".....", 9},
    {"6", "-....", 11},
    {"7", "--...", 13},
    {"8", "---..", 15},
    {"9", "----.", 17},
    {"0", "-----", 19},
    // Punctuation, section 1.1.3.
    {".", ".-.-.-", 17},
    {",", "--..--", 19},
    {":", "---...", 17},
    {"?", "..--..", 15},
    {"'", ".----.", 19},
    {"-", "-....-", 15},
    {"/", "-..-.", 13},
    {"(", "-.--.", 15},
    {")", "-.--.-", 19},
    {"\"", ".-..-.", 15},
    {"=", "-...-", 13},
    {"+", ".-.-.", 13},
    {"\u00d7", "-..-", 11},
    // At sign: added 2004, pattern from memory.
    {"@", ".--.-.", 17},
    // Procedure signals, section 1.1.3; their letters are common practice, no source.
    {"VE", "...-.", 11, true},
    {"HH", "........", 15, true},
    {"AS", ".-...", 11, true},
    {"SK", "...-.-", 15, true},
    {"KA", "-.-.-", 15, true},
    {"AR", ".-.-.", 13, true},
    {"BT", "-...-", 13, true},
    {"KN", "-.--.", 15, true},
};

TEST(CodeTable, EveryRowOfTheRecommendation) {
    for (const Row& row : kRows) {
        const Symbol* symbol = find_by_text(row.text, row.procedure);
        ASSERT_NE(symbol, nullptr) << row.text;
        EXPECT_EQ(symbol->elements, row.elements) << row.text;
        EXPECT_EQ(units_of(symbol->elements), row.units) << row.text;
    }
}

TEST(CodeTable, NothingButTheRecommendation) {
    EXPECT_EQ(symbols().size(), std::size(kRows));
    // "!" "$" "&" have no pattern in it (encyclopedia copy at s.cnmilf.com).
    for (const char* outside : {"!", "$", "&", "%", ";", "_", ""}) {
        EXPECT_EQ(find_by_text(outside), nullptr) << outside;
    }
    EXPECT_EQ(find_by_text("AR"), nullptr);
    EXPECT_EQ(find_by_text("A", true), nullptr);
}

// Sum of the 26 letters 214 units, of ten figures 140 (computed from the published patterns).
TEST(CodeTable, Sums) {
    int letters = 0;
    int figures = 0;
    for (const Symbol& symbol : symbols()) {
        if (symbol.text.size() != 1) continue;
        if (symbol.text[0] >= 'A' && symbol.text[0] <= 'Z') letters += units_of(symbol.elements);
        if (symbol.text[0] >= '0' && symbol.text[0] <= '9') figures += units_of(symbol.elements);
    }
    EXPECT_EQ(letters, 214);
    EXPECT_EQ(figures, 140);
    EXPECT_EQ(units_of(""), 0);
}

// Same pattern, two readings (grokipedia "Prosigns", cupis.co.uk): these four pairs and no others.
TEST(CodeTable, SharedPatterns) {
    std::map<std::string, std::set<std::string>> readings;
    for (const Symbol& symbol : symbols()) {
        readings[std::string(symbol.elements)].insert(std::string(symbol.text));
    }
    std::map<std::string, std::set<std::string>> shared;
    for (const auto& [elements, texts] : readings) {
        if (texts.size() > 1) shared[elements] = texts;
    }
    const std::map<std::string, std::set<std::string>> expected = {{".-.-.", {"+", "AR"}},
                                                                   {"-...-", {"=", "BT"}},
                                                                   {"-.--.", {"(", "KN"}},
                                                                   {"-..-", {"X", "\u00d7"}}};
    EXPECT_EQ(shared, expected);
}

TEST(CodeTable, ReadingByContext) {
    EXPECT_EQ(read_elements(".-.-.", false)->text, "+");
    EXPECT_EQ(read_elements(".-.-.", true)->text, "AR");
    EXPECT_EQ(read_elements("-...-", true)->text, "BT");
    EXPECT_EQ(read_elements("-.--.", true)->text, "KN");
    EXPECT_EQ(read_elements("-.--.", false)->text, "(");
    EXPECT_EQ(read_elements("-..-", true)->text, "X");
    EXPECT_EQ(read_elements("-..-", false)->text, "X");
    EXPECT_EQ(read_elements("...-.-", false)->text, "SK");
    EXPECT_EQ(read_elements(".......", true), nullptr);
    EXPECT_TRUE(find_by_elements("----").empty());
    EXPECT_EQ(find_by_elements(".-.-.").size(), 2U);
}

std::string joined(const std::vector<std::optional<Symbol>>& symbols) {
    std::string text;
    for (const auto& symbol : symbols) {
        if (!symbol) {
            text += "|";
        } else if (symbol->procedure) {
            text += '<';
            text += symbol->text;
            text += '>';
        } else {
            text += symbol->text;
        }
    }
    return text;
}

TEST(SymbolsFromText, WordsAndProcedureSignals) {
    EXPECT_EQ(joined(*symbols_from_text(" qva7 de\t QXB2 \n")), "QVA7|DE|QXB2");
    EXPECT_EQ(joined(*symbols_from_text("K[AR][sk]")), "K<AR><SK>");
    EXPECT_EQ(joined(*symbols_from_text("[CT] caf\u00e9 [SN] [VA]")), "<KA>|CAF\u00c9|<VE>|<SK>");
    EXPECT_EQ(joined(*symbols_from_text("A\u0305R\u0305S\u0305K\u0305 K")), "<AR><SK>|K");
    EXPECT_EQ(joined(*symbols_from_text("2\u00d73")), "2\u00d73");
    EXPECT_TRUE(symbols_from_text("")->empty());
    EXPECT_TRUE(symbols_from_text("  \n ")->empty());
}

TEST(SymbolsFromText, NamesWhatIsNotInTheCode) {
    for (const char* bad : {"AB!", "[XX]", "[AR", "A]", "\u00fc", "\xff", "_", "Z\u0305"}) {
        const auto result = symbols_from_text(bad);
        ASSERT_FALSE(result) << bad;
        EXPECT_EQ(result.error().code, ErrorCode::invalid_value);
    }
    const auto result = symbols_from_text("AB!");
    EXPECT_NE(result.error().message.find("\"!\" at character 3"), std::string::npos)
        << result.error().message;
}

TEST(ScoringSymbols, SharedPatternsAreEqual) {
    EXPECT_EQ(*scoring_symbols("ok [AR]"), *scoring_symbols("OK +"));
    EXPECT_EQ(*scoring_symbols("[BT][KN]"), *scoring_symbols("=("));
    EXPECT_EQ(*scoring_symbols("2\u00d72"), *scoring_symbols("2X2"));
    EXPECT_NE(*scoring_symbols("[AS]"), *scoring_symbols("AS"));
    EXPECT_EQ(*scoring_symbols("A_ [HH] b"),
              (std::vector<std::string>{"A", "_", " ", "HH", " ", "B"}));
    EXPECT_FALSE(scoring_symbols("A;"));
}

}  // namespace
}  // namespace skedlark::morse
