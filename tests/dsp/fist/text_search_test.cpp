#include "dsp/fist/text_search.h"

#include <chrono>

#include "tests/dsp/fist/keyed.h"
#include "tests/dsp/fist/scenes.h"

namespace skedlark::fist {
namespace {

struct Searched {
    std::vector<MeantCharacter> text;
    FoundWay way;
};

Searched search(const std::string& sent, const std::string& meant) {
    const Keying keying = keying_of(marks_of(sent, "machine"));
    const auto hand = find_hand(keying);
    EXPECT_TRUE(hand);
    const auto symbols = morse::symbols_from_text(meant);
    EXPECT_TRUE(symbols);
    Searched out;
    out.text = meant_characters(*symbols);
    out.way = search_text(length_odds(keying, *hand, probable_kinds(keying, *hand)), out.text);
    return out;
}

TEST(TextSearch, CharactersAndWords) {
    const auto symbols = morse::symbols_from_text("AB [AR] C");
    ASSERT_TRUE(symbols);
    const auto text = meant_characters(*symbols);
    ASSERT_EQ(text.size(), 4U);
    EXPECT_TRUE(text[0].word_begins);
    EXPECT_FALSE(text[1].word_begins);
    EXPECT_TRUE(text[2].word_begins);
    EXPECT_TRUE(text[2].symbol.procedure);
}

TEST(TextSearch, TheStraightWayCostsNothing) {
    const Searched found = search("PARIS CODEX", "PARIS CODEX");
    EXPECT_LT(found.way.cost, 0.1);
    EXPECT_EQ(found.way.reached, 10U);
    ASSERT_EQ(found.way.steps.size(), 10U);
    std::size_t mark = 0;
    for (const Step& step : found.way.steps) {
        EXPECT_EQ(step.kind, Step::Kind::sent);
        EXPECT_EQ(step.first_mark, mark);
        mark += step.marks;
    }
}

// Every mark belongs to one step, whatever is compared with whatever.
TEST(TextSearch, EveryMarkIsUsedOnce) {
    for (const auto& [sent, meant] : {std::pair("PARIS CODEX", "ZZZZZ"),
                                      {"EEEEEEEEEEEE", "0"},
                                      {"PARIS [HH] CODEX", "QVA"},
                                      {"PARIS PARIS PARIS", "PARIS"},
                                      {"TTTTTTTTT", "PARIS CODEX PARIS CODEX"}}) {
        const Searched found = search(sent, meant);
        std::size_t mark = 0;
        for (const Step& step : found.way.steps) {
            EXPECT_EQ(step.first_mark, mark) << sent;
            mark += step.marks;
        }
        EXPECT_EQ(mark, marks_of(sent, "machine").size()) << sent;
    }
}

TEST(TextSearch, EightDotsGoBack) {
    const Searched found = search("PARIS CODYX [HH] CODEX", "PARIS CODEX");
    bool corrected = false;
    for (const Step& step : found.way.steps) {
        if (step.kind != Step::Kind::error_signal) continue;
        corrected = true;
        EXPECT_EQ(step.meant, 5U);
        EXPECT_EQ(step.from, 10U);
        EXPECT_EQ(step.marks, 8U);
    }
    EXPECT_TRUE(corrected);
    EXPECT_EQ(found.way.reached, 10U);
}

// A text far longer than the window, with a hole in it, is still followed to its end.
TEST(TextSearch, LongTexts) {
    std::string sent = groups(300, 11);
    const auto begun = std::chrono::steady_clock::now();
    const Searched found = search(sent, sent + " QVA");
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - begun;
    EXPECT_EQ(found.way.reached, 1500U);
    EXPECT_LT(found.way.cost, 6.0);
    EXPECT_LT(took.count(), 20.0);  // a hang, not a speed, is what this notices
}

}  // namespace
}  // namespace skedlark::fist
