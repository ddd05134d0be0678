#include "gui/fist/keying_strip.h"

#include "tests/desk/fist/sendings.h"
#include "tests/dsp/fist/keyed.h"

namespace skedlark::gui {
namespace {

fist::Grade graded(const std::string& sent, const std::string& meant) {
    fist::GradeOptions options;
    if (!meant.empty()) options.text = *morse::symbols_from_text(meant);
    auto grade = fist::grade_marks(fist::keying_of(fist::marks_of(sent, "machine")), options);
    EXPECT_TRUE(grade);
    return grade ? std::move(*grade) : fist::Grade{};
}

// Marks counted by hand: PARIS has 14, C 4 more up to D; the wrong character is the third of CODEX.
TEST(KeyingStrip, AWrongCharacterIsMarkedElementByElement) {
    const fist::Grade grade = graded("PARIS COBEX QVA", "PARIS CODEX QVA");
    ASSERT_EQ(grade.alignment->errors.size(), 1U);
    const Place place = place_of(grade, grade.alignment->errors[0]);
    EXPECT_FALSE(place.gap);
    const std::size_t first = 14 + 4 + 3;  // P A R I S, C, O
    EXPECT_EQ(place.from_s, grade.keying.marks[first].on_s);
    EXPECT_EQ(place.to_s, grade.keying.marks[first + 3].off_s);  // B has four
    const KeyingStrip strip = strip_about(grade, &place);
    int faulty = 0;
    for (const StripMark& mark : strip.marks) faulty += mark.faulty ? 1 : 0;
    EXPECT_EQ(faulty, 4);
    EXPECT_LE(strip.from_s, place.from_s);
    EXPECT_GE(strip.to_s, place.to_s);
    bool named = false;
    for (const StripCharacter& one : strip.characters) named = named || one.text == "B";
    EXPECT_TRUE(named);
}

TEST(KeyingStrip, AMissingCharacterIsAGap) {
    const fist::Grade grade = graded("PARIS COEX QVA", "PARIS CODEX QVA");
    ASSERT_EQ(grade.alignment->errors.size(), 1U);
    const Place place = place_of(grade, grade.alignment->errors[0]);
    EXPECT_TRUE(place.gap);
    EXPECT_EQ(place.from_s, grade.keying.marks[14 + 4 + 3 - 1].off_s);
    const KeyingStrip strip = strip_about(grade, &place);
    for (const StripMark& mark : strip.marks) EXPECT_FALSE(mark.faulty);
}

TEST(KeyingStrip, AFaultOfAGapShowsTheGap) {
    const fist::Grade grade = graded("PARIS CODEX QVA", "");
    const fist::Fault fault{fist::FaultKind::gaps_closed, grade.keying.marks[3].off_s, "", ""};
    const Place place = place_of(grade, fault);
    EXPECT_TRUE(place.gap);
    EXPECT_EQ(place.from_s, grade.keying.marks[3].off_s);
    EXPECT_EQ(place.to_s, grade.keying.marks[4].on_s);
    const fist::Fault dash{fist::FaultKind::dash_short, grade.keying.marks[1].on_s, "", ""};
    EXPECT_EQ(place_of(grade, dash).to_s, grade.keying.marks[1].off_s);
    const fist::Fault whole{fist::FaultKind::hum, grade.keying.marks[0].on_s, "", ""};
    EXPECT_EQ(place_of(grade, whole).to_s, grade.keying.marks[5].off_s);
}

TEST(KeyingStrip, WithoutAPlaceTheBeginningAndWithoutMarksNothing) {
    const fist::Grade grade = graded("PARIS CODEX QVA", "");
    const KeyingStrip strip = strip_about(grade, nullptr);
    EXPECT_FALSE(strip.has_place);
    EXPECT_EQ(strip.characters.front().text, "P");
    EXPECT_NEAR(strip.to_s - strip.from_s, kStripS, 1e-9);
    EXPECT_TRUE(strip_about({}, nullptr).marks.empty());
    EXPECT_EQ(place_of({}, fist::Fault{}).to_s, 0.0);
}

}  // namespace
}  // namespace skedlark::gui
