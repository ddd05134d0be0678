// Messages as message_sheet.h has them sent; expected groups are written out by hand.
#include "gui/copy/message.h"

#include <gtest/gtest.h>

#include "tests/desk/copy/copied.h"

namespace skedlark::gui {
namespace {

std::vector<std::string> texts(const CopiedMessage& message) {
    std::vector<std::string> all;
    for (const CopiedGroup& group : message.groups) all.push_back(group.text);
    return all;
}
using Texts = std::vector<std::string>;

TEST(CopiedMessage, GroupsStandBetweenBreakAndEnd) {
    const auto all = copied("QXB2 DE QVA7 K [KA] NR 3 GR 3 261830Z [BT] KLMNO PQRST UVWXY [AR] K");
    const CopiedMessage message = find_message(all);
    EXPECT_EQ(texts(message), (Texts{"KLMNO", "PQRST", "UVWXY"}));
    EXPECT_TRUE(message.in_fives);
    EXPECT_TRUE(message.ended);
    ASSERT_TRUE(message.told.has_value());
    EXPECT_EQ(*message.told, 3U);
    EXPECT_EQ(message.count_in_words(), "3 groups, as the preamble says");
    EXPECT_EQ(message.request(), "");
}

TEST(CopiedMessage, AsksForWhatIsDoubtfulAndForWhatIsMissing) {
    const auto all = copied("NR 3 CK 6 [BT] KLMNO PqRST UVWXY AB_DE [AR]");
    const CopiedMessage message = find_message(all);
    EXPECT_EQ(message.doubtful(), (std::vector<std::size_t>{2, 4}));
    EXPECT_EQ(message.groups[1].doubt, "Q unsure");
    EXPECT_EQ(message.groups[3].doubt, "not all readable");
    EXPECT_EQ(message.count_in_words(), "4 groups, 2 short of the 6 of the preamble");
    EXPECT_EQ(message.request(), "RPT GR 2 GR 4 AA GR 4 ?");
}

TEST(CopiedMessage, DoesNotAskForTheRestWhileItStillComes) {
    const CopiedMessage message = find_message(copied("GR 6 [BT] KLMNO PQRST"));
    EXPECT_FALSE(message.ended);
    EXPECT_EQ(message.request(), "");
}

TEST(CopiedMessage, AGapReadWronglyMovesNoOtherGroup) {
    // One gap missed, one invented: each as near to what was sent as can be told.
    EXPECT_EQ(texts(find_message(copied("[BT] KLMNOPQRST UV WXY ABCDE FGHIJ"))),
              (Texts{"KLMNO", "PQRST", "UVWXY", "ABCDE", "FGHIJ"}));
    // A letter lost: that group is named, those behind it keep their places.
    const CopiedMessage message = find_message(copied("[BT] KLMNO PQST UVWXY ABCDE"));
    EXPECT_EQ(texts(message), (Texts{"KLMNO", "PQST", "UVWXY", "ABCDE"}));
    EXPECT_EQ(message.doubtful(), (std::vector<std::size_t>{2}));
    EXPECT_EQ(message.groups[1].doubt, "4 of 5 characters");
}

TEST(CopiedMessage, WordsAreNoFives) {
    const CopiedMessage message =
        find_message(copied("QVC3 DE QVA7 [BT] UPPER HUT NEEDS 20 KG FLOUR [AR] K"));
    EXPECT_FALSE(message.in_fives);
    EXPECT_EQ(texts(message), (Texts{"UPPER", "HUT", "NEEDS", "20", "KG", "FLOUR"}));
    EXPECT_TRUE(message.doubtful().empty());
    // The beginning of recording 06: neighbours that make five are two words all the same.
    EXPECT_EQ(texts(find_message(copied("[BT] RELIEF PARTY OF FOU"))),
              (Texts{"RELIEF", "PARTY", "OF", "FOU"}));
}

TEST(CopiedMessage, TheNewestOneIsShownAndOwnSendingIsNone) {
    auto all = copied("[BT] AAAAA [AR] K GR 1 [BT] BBBBB [AR] K [BT] CCCCC [AR]");
    for (std::size_t i = all.size() - 8; i < all.size(); ++i) all[i].own = true;
    const CopiedMessage message = find_message(all);
    EXPECT_EQ(texts(message), (Texts{"BBBBB"}));
    EXPECT_EQ(message.preamble, "GR 1");
}

TEST(CopiedMessage, WithoutABreakEverythingCounts) {
    EXPECT_EQ(texts(find_message(copied("KXQMV BTLWE ZRNHA"))), (Texts{"KXQMV", "BTLWE", "ZRNHA"}));
    EXPECT_TRUE(find_message({}).groups.empty());
}

TEST(CopiedMessage, ACorrectedGroupIsDoubtfulNoMore) {
    auto all = copied("[BT] KLmNO PQRST");
    all[4].corrected = "X";
    const CopiedMessage message = find_message(all);
    EXPECT_EQ(message.groups[0].text, "KLXNO");
    EXPECT_TRUE(message.groups[0].corrected);
    EXPECT_TRUE(message.doubtful().empty());
    EXPECT_EQ(groups_in_rows(message), "   1 KLXNO*   2 PQRST\n");
}

}  // namespace
}  // namespace skedlark::gui
