#include "dsp/log/practice_record.h"

#include <gtest/gtest.h>

#include "dsp/morse/code_table.h"

namespace skedlark::log {
namespace {

fist::CopyScore marked(const std::string& sent, const std::string& typed) {
    return *fist::copy_score(*morse::scoring_symbols(sent), *morse::scoring_symbols(typed));
}

double value_of(const Entry& entry, const std::string& name) {
    for (const Measurement& one : entry.measurements) {
        if (one.name == name) return one.value;
    }
    return -1.0;
}

Entry copied(const std::string& sent, const std::string& typed, double level = 8.0) {
    CopyFacts facts;
    facts.who = "Ann";
    facts.groups_a_minute = level;
    return copy_entry(marked(sent, typed), facts);
}

Entry sent(const std::map<std::string, fist::CharacterTally>& characters) {
    Entry entry;
    entry.kind = kPractice;
    for (const auto& [name, tally] : characters) {
        for (const auto& [lead, value] :
             {std::pair{"keyed_", tally.sent}, {"faulty_", tally.wrong}}) {
            Measurement one;
            one.name = lead + name;
            one.value = value;
            entry.measurements.push_back(one);
        }
    }
    return entry;
}

TEST(PracticeRecord, AnExerciseIsReadAsItWasWritten) {
    const Entry entry = copied("HHXQV [AR]", "HSX_V [AR] E", 9.5);
    EXPECT_EQ(entry.outcome, "errors");
    EXPECT_EQ(value_of(entry, "sent_H"), 2.0);
    EXPECT_EQ(value_of(entry, "wrong_H"), 1.0);
    EXPECT_EQ(value_of(entry, "took_H_S"), 1.0);
    EXPECT_EQ(value_of(entry, "sent_+"), 1.0);
    const std::vector<Entry> entries{entry};
    const PracticeRecord record = practice_record(entries);
    EXPECT_EQ(record.copied, 1);
    EXPECT_EQ(record.sent, 0);
    EXPECT_EQ(record.copied_characters.at("H").wrong, 1.0);
    EXPECT_EQ(record.copied_characters.at("Q").wrong, 1.0);  // left open
    ASSERT_EQ(record.pairs.size(), 1U);
    EXPECT_EQ(record.pairs[0].sent + record.pairs[0].typed, "HS");
    ASSERT_EQ(record.levels.size(), 1U);
    EXPECT_EQ(record.levels[0].groups_a_minute, 9.5);
    EXPECT_EQ(record.levels[0].right, 4);
    EXPECT_EQ(record.levels[0].of, 7);  // six sent and one put in
}

TEST(PracticeRecord, SendingWeighsWhatIsSentAndCopyingWhatIsCopied) {
    const std::vector<Entry> entries{copied("KKKKK", "RRRRR"), sent({{"C", {10.0, 9.0}}})};
    const PracticeRecord record = practice_record(entries);
    EXPECT_EQ(record.sent, 1);
    const auto to_copy = record.weights_to_copy();
    const auto to_send = record.weights_to_send();
    EXPECT_GT(to_copy.at("K"), 3.0);
    EXPECT_EQ(to_copy.at("R"), to_copy.at("K"));  // the two are told apart by hearing both
    EXPECT_EQ(to_copy.count("C"), 0U);
    EXPECT_GT(to_send.at("C"), 4.0);
    EXPECT_GT(to_send.at("K"), 3.0);
}

TEST(PracticeRecord, OnlyTheLatestCount) {
    std::vector<Entry> entries(5, copied("EEEEE", "TTTTT", 5.0));
    entries.insert(entries.end(), kExercisesBack, copied("EEEEE", "EEEEE", 12.0));
    Entry watch;
    entries.push_back(watch);
    const PracticeRecord record = practice_record(entries);
    EXPECT_EQ(record.copied, kExercisesBack);
    EXPECT_EQ(record.copied_characters.at("E").wrong, 0.0);
    EXPECT_EQ(record.levels.front().groups_a_minute, 12.0);
    EXPECT_TRUE(practice_record({}).levels.empty());
}

}  // namespace
}  // namespace skedlark::log
