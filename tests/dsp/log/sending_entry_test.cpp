// Graded sendings and the entries they must give.
#include "dsp/log/sending_entry.h"

#include "dsp/fist/test_text.h"
#include "tests/dsp/fist/scenes.h"

namespace skedlark::log {
namespace {

using Text = std::vector<std::optional<morse::Symbol>>;

fist::Grade graded(const std::string& sent, const Text& text) {
    const auto scene = fist::made(fist::scene_config(sent, "machine", 15.0, 1));
    fist::GradeOptions options;
    options.text = text;
    auto grade = fist::grade(scene.samples, options);
    EXPECT_TRUE(grade);
    return grade ? std::move(*grade) : fist::Grade{};
}

// Counted by hand: of the four E one was sent as T.
TEST(SendingEntry, CharactersAreCountedAgainstTheText) {
    const Text text = *morse::symbols_from_text("QVA7 DE HERE SEE K");
    const Entry entry =
        sending_entry(graded("QVA7 DE HERE STE K", text), text, {.who = "Ann", .input = "a.wav"});
    EXPECT_EQ(entry.kind, kPractice);
    EXPECT_EQ(entry.who, "Ann");
    EXPECT_EQ(entry.outcome, "errors");
    EXPECT_TRUE(is_sending(entry));
    EXPECT_EQ(measured(entry, "characters_meant"), 14.0);
    EXPECT_EQ(measured(entry, "characters_right"), 13.0);
    const auto characters = keyed_characters(entry);
    EXPECT_EQ(characters.at("E").keyed, 5.0);
    EXPECT_EQ(characters.at("E").faulty, 1.0);
    EXPECT_EQ(characters.at("H").faulty, 0.0);
    EXPECT_EQ(characters.count("T"), 0U) << "sent, but not meant";
    EXPECT_TRUE(std::isnan(measured(entry, "fixed_test")));
}

TEST(SendingEntry, WithoutATextOnlyTheRhythm) {
    const Entry entry = sending_entry(graded("QVA7 DE HERE SEE [AR] K", {}), {}, {});
    const auto characters = keyed_characters(entry);
    EXPECT_EQ(characters.at("E").keyed, 5.0);
    EXPECT_FALSE(characters.at("E").with_text);
    EXPECT_LT(characters.at("Q").off_standard, 0.05);  // machine keying, 15 dB
    EXPECT_EQ(characters.count("+"), 1U) << "AR goes by its sign";
}

TEST(SendingEntry, TheFixedTestIsKnownByItsText) {
    const Text text = *morse::symbols_from_text(fist::kTestText);
    fist::Grade grade;
    grade.statistics.overall_wpm = 16.0;
    const Entry entry = sending_entry(grade, text, {});
    EXPECT_EQ(measured(entry, "fixed_test"), 1.0);
    EXPECT_EQ(measured(entry, "overall_wpm"), 16.0);
}

TEST(SendingEntry, CopyingIsNoSending) {
    Entry entry;
    entry.kind = kPractice;
    entry.measurements.push_back({"copied_right_share", 0.9});
    entry.measurements.push_back({"sent_A", 3.0});
    EXPECT_FALSE(is_sending(entry));
    EXPECT_TRUE(keyed_characters(entry).empty());
    entry.kind = kWatch;
    entry.measurements.push_back({"score", 90.0});
    EXPECT_FALSE(is_sending(entry));
}

}  // namespace
}  // namespace skedlark::log
