#include "gui/practice/copying_drill.h"

#include <gtest/gtest.h>

#include "tests/desk/practice/folder.h"

namespace skedlark::gui {
namespace {

std::vector<float> all_of(const audio::Player::Make& make) {
    std::vector<float> audio, piece(1600);
    for (std::size_t made = piece.size(); made == piece.size();) {
        made = make(piece);
        audio.insert(audio.end(), piece.begin(), piece.begin() + static_cast<std::ptrdiff_t>(made));
    }
    return audio;
}

TEST(CopyingDrill, MadePlayedTwiceAlikeMarkedAndLogged) {
    const TestFolder folder;
    PracticeLog log(folder.path("log.db"));
    log.set_who("Ann");
    CopyingDrill drill(log);
    EXPECT_FALSE(drill.audio());
    CopyingSettings settings;
    settings.level = 12.0;
    settings.conditions.snr_2500hz_db = 6.0;
    ASSERT_TRUE(drill.make(settings, 5).ok());
    const auto first = all_of(drill.audio());
    EXPECT_NEAR(static_cast<double>(first.size()) / 8000.0, drill.seconds(), 0.001);
    EXPECT_EQ(first, all_of(drill.audio()));
    // 5 groups at 12 a minute take 25 s, with some lead and tail, and letters that are not the mean.
    EXPECT_NEAR(drill.seconds(), 25.0 + 2.0, 4.0);
    EXPECT_FALSE(drill.mark("  ", {}).ok());
    EXPECT_EQ(drill.phase(), CopyingPhase::made);
    EXPECT_FALSE(drill.mark("\xC3\xA7?", {}).ok());  // not in the code, and said
    ASSERT_TRUE(drill.mark(drill.sent(), {}).ok());
    EXPECT_EQ(drill.score()->right, 25);
    EXPECT_NE(drill.result_words(60).find("25 of 25 characters right"), std::string::npos);
    EXPECT_GT(drill.next_level(), 12.0);
    EXPECT_EQ(log.record().copied, 1);
}

TEST(CopyingDrill, NextLevelOfSomebodyWithoutANameToo) {
    PracticeLog log;
    CopyingDrill drill(log);
    EXPECT_EQ(drill.next_level(), fist::kFirstLevel);
    CopyingSettings settings;
    settings.level = 10.0;
    ASSERT_TRUE(drill.make(settings, 5).ok());
    ASSERT_TRUE(drill.mark("E", {}).ok());  // nearly all missing
    EXPECT_LT(drill.next_level(), 9.0);
}

TEST(CopyingDrill, OnlyTheCharactersTakenUpAndOnlyLevelsThatCanBe) {
    PracticeLog log;
    CopyingDrill drill(log);
    CopyingSettings settings;
    settings.first = 2;
    ASSERT_TRUE(drill.make(settings, 1).ok());
    EXPECT_EQ(drill.sent().find_first_not_of("EI "), std::string::npos) << drill.sent();
    settings.level = 80.0;
    const Status made = drill.make(settings, 1);
    ASSERT_FALSE(made.ok());
    EXPECT_NE(made.error().message.find("80 groups a minute; allowed: 3.3"), std::string::npos);
    EXPECT_EQ(drill.phase(), CopyingPhase::made);  // the one before stays
}

}  // namespace
}  // namespace skedlark::gui
