// Text as read and as taken; expected texts are written out by hand.
#include "gui/copy/copy_text.h"

#include <gtest/gtest.h>

#include "tests/desk/copy/copied.h"

namespace skedlark::gui {
namespace {

CopyText text_of(std::string_view what) {
    CopyText text;
    for (const CharEvent& event : characters_of(what)) text.add(event);
    return text;
}

TEST(CopyText, AFinalCharacterReplacesWhatWasHeardInItsTime) {
    CopyText text;
    auto all = characters_of("EEA");
    all[0].final = all[1].final = false;
    text.add(all[0]);
    text.add(all[1]);
    EXPECT_EQ(text_as_read(text.of_tone(1)), "EE");
    EXPECT_TRUE(text.final_of(1).empty());
    CharEvent read = all[2];
    read.from_frame = all[0].from_frame;
    read.to_frame = all[1].to_frame;
    text.add(read);
    EXPECT_EQ(text_as_read(text.of_tone(1)), "A");
}

TEST(CopyText, ACorrectionStandsBesideWhatWasReadAndCanBeTakenBack) {
    CopyText text = text_of("QVa7");
    const FrameIndex place = text.final_of(1)[2].read.from_frame;
    EXPECT_TRUE(text.final_of(1)[2].doubtful());
    EXPECT_TRUE(text.correct(1, place, "W"));
    EXPECT_EQ(text_as_taken(text.final_of(1)), "QVW7");
    EXPECT_EQ(text_as_read(text.final_of(1)), "QVA7");
    EXPECT_FALSE(text.final_of(1)[2].doubtful());
    EXPECT_TRUE(text.correct(1, place, "A"));  // as it was read: no correction
    EXPECT_FALSE(text.final_of(1)[2].corrected.has_value());
    EXPECT_FALSE(text.correct(1, place + 1, "X"));
    EXPECT_FALSE(text.correct(9, place, "X"));
}

TEST(CopyText, AStretchIsCorrectedAsAWhole) {
    CopyText text = text_of("AB CD EF");
    const auto all = text.final_of(1);
    EXPECT_TRUE(text.correct_stretch(1, {all[3].read.from_frame, all[4].read.to_frame}, "XYZ"));
    EXPECT_EQ(text_as_taken(text.final_of(1)), "AB XYZ EF");
    EXPECT_EQ(text_as_read(text.final_of(1)), "AB CD EF");
}

TEST(CopyText, OwnSendingIsSetApartWhileItLastsAndAfterwards) {
    CopyText text;
    const auto all = characters_of("ABCDEF");  // from 1 s, one every half second
    text.add(all[0]);
    text.send_from(frames_from_seconds(1.45));
    for (std::size_t i = 1; i < 4; ++i) text.add(all[i]);
    EXPECT_EQ(text_as_read(text.final_of(1)), "A");
    // Characters come late: D is told after the end, and is own all the same.
    const auto stretch = text.send_until(frames_from_seconds(2.9));
    ASSERT_TRUE(stretch.has_value());
    text.add(all[4]);
    text.add(all[5]);
    EXPECT_EQ(text_as_read(text.final_of(1)), "AEF");
    EXPECT_FALSE(text.send_until(0).has_value());
    ASSERT_EQ(text.own_sending(0).size(), 1U);
    EXPECT_EQ(text.own_sending(0)[0].from, frames_from_seconds(1.45));
}

TEST(CopyText, ADayOfTextIsAsLightAsAnHourAndLosesNoLetter) {
    CopyText text;
    std::string sent;
    std::string older;
    CharEvent event;
    event.tone = 1;
    for (std::size_t i = 0; i < 10 * CopyText::kKept; ++i) {
        event.from_frame = static_cast<FrameIndex>(i) * 4000;
        event.to_frame = event.from_frame + 3000;
        event.text = i % 6 == 5 ? " " : std::string(1, static_cast<char>('A' + i % 26));
        if (event.text != " ") sent += event.text;
        text.add(event);
        older += text.take_older(1);
        ASSERT_LE(text.final_of(1).size(), CopyText::kKept + CopyText::kKept / 4);
    }
    EXPECT_GE(text.final_of(1).size(), CopyText::kKept * 3 / 4);
    std::string kept = older + text_as_taken(text.final_of(1));
    std::erase_if(kept, [](char c) { return c == ' ' || c == '\n'; });
    EXPECT_EQ(kept, sent);
}

TEST(CopyText, AProcedureSignalIsInBracketsAndAPauseEndsTheLine) {
    auto all = copied("AB[AR]CD");
    EXPECT_EQ(text_as_read(all), "AB[AR]CD");
    all[3].read.from_frame += frames_from_seconds(20.0);
    all[3].read.to_frame += frames_from_seconds(20.0);
    all[4].read.from_frame += frames_from_seconds(20.0);
    all[4].read.to_frame += frames_from_seconds(20.0);
    EXPECT_EQ(text_as_read(all), "AB[AR]\nCD");
}

TEST(CopyText, ReadingsAreSaidWithTheirChances) {
    Copied one = copied("s").front();
    one.read.confidence = 0.71;
    one.read.others = {{"H", 0.2}, {"5", 0.06}};
    EXPECT_EQ(readings_of(one), "S 71 %, H 20 %, 5 6 %");
    one.corrected = "H";
    one.own = true;
    EXPECT_EQ(readings_of(one), "S 71 %, H 20 %, 5 6 %; corrected to H; own sending");
}

}  // namespace
}  // namespace skedlark::gui
