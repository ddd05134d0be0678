#include "gui/fist/fist_rows.h"

#include "tests/desk/fist/sendings.h"
#include "tests/dsp/fist/keyed.h"

namespace skedlark::gui {
namespace {

Attempt attempt(const std::string& sent, const std::string& meant) {
    Attempt out;
    if (!meant.empty()) out.text = *morse::symbols_from_text(meant);
    fist::GradeOptions options;
    options.text = out.text;
    auto grade = fist::grade_marks(fist::keying_of(fist::marks_of(sent, "machine", 20.0)), options);
    EXPECT_TRUE(grade);
    if (grade) out.grade = std::move(*grade);
    return out;
}

std::string value_of(const std::vector<Figure>& figures, const std::string& name) {
    for (const Figure& one : figures) {
        if (one.name == name) return one.value;
    }
    return "none";
}

// ITU-R M.1677-1 at 20 words a minute of PARIS: 60, 180 and 60, 180, 420 ms.
TEST(FistRows, FiguresOfMachineSending) {
    const auto figures = figures_of(*attempt("PARIS CODEX PARIS CODEX", "").grade);
    EXPECT_EQ(value_of(figures, "Score"), "100");
    EXPECT_EQ(value_of(figures, "Dot"), "60 ms \u00b10 %, 1.0");
    EXPECT_EQ(value_of(figures, "Dash"), "180 ms \u00b10 %, 3.0");
    EXPECT_EQ(value_of(figures, "Word gap"), "420 ms \u00b10 %, 7.0");
    EXPECT_EQ(value_of(figures, "Dash to dot"), "3.00");
    EXPECT_EQ(value_of(figures_of(fist::Grade{}), "Dot"), "n/a");
}

TEST(FistRows, WhoseFaultItIs) {
    fist::Grade grade = *attempt("PARIH CODEX QVA", "PARIS CODEX QVA").grade;
    for (const auto kind : {fist::FaultKind::chirp, fist::FaultKind::dots_clipped,
                            fist::FaultKind::uneven_dots, fist::FaultKind::gaps_closed}) {
        grade.faults.push_back({kind, 65.0, "said", "advice"});
    }
    const auto rows = fault_rows(grade);
    ASSERT_EQ(rows.size(), 5U);
    EXPECT_EQ(rows[0].whose, "hand");
    EXPECT_EQ(rows[1].whose, "key");
    EXPECT_EQ(rows[2].whose, "transmitter");
    EXPECT_EQ(rows[3].whose, "transmitter");
    EXPECT_EQ(rows[4].whose, "text");
    EXPECT_EQ(rows[0].time, "1:05");
    EXPECT_EQ(rows[4].what, "\"S\" sounded like \"H\", 1 element too many");
    EXPECT_EQ(rows[4].advice, "Heard: ....");
    EXPECT_EQ(fault_count_words(rows), "Hand: 1. Key and transmitter: 3. Against the text: 1.");
    EXPECT_EQ(fault_count_words({}), "No fault of hand, key or transmitter stands out.");
}

TEST(FistRows, CharactersTheHardestFirst) {
    const auto rows = character_rows(attempt("PARIH CODEX PARIS PARIS", "PARIS CODEX PARIS PARIS"));
    ASSERT_FALSE(rows.empty());
    EXPECT_EQ(rows[0].name, "S");
    EXPECT_EQ(rows[0].sent, "3");
    EXPECT_EQ(rows[0].right, "2");
    EXPECT_EQ(rows[0].sounded_like, "H");
    EXPECT_EQ(rows[0].rhythm, "1.0 (1.0) 1.0 (1.0) 1.0");
    EXPECT_EQ(character_rows(attempt("PARIS CODEX", ""))[0].right, "n/a");
    EXPECT_TRUE(character_rows(Attempt{}).empty());
}

TEST(FistRows, ScoreAndSummary) {
    const Attempt one = attempt("PARIH CODEX", "PARIS CODEX");
    const auto rows = score_rows(*one.grade);
    ASSERT_EQ(rows.size(), 5U);
    EXPECT_EQ(rows[0].kept, "100.0 %");
    EXPECT_EQ(rows[3].kept, "90.0 %");
    EXPECT_EQ(rows[4].kept, "90.0");
    EXPECT_NE(summary_words(one).find("9 of 10 characters right"), std::string::npos);
    Attempt none;
    none.failure = "no keyed tone is in it";
    EXPECT_EQ(summary_words(none), none.failure);
    EXPECT_EQ(minutes_of(125.9), "2:05");
}

}  // namespace
}  // namespace skedlark::gui
