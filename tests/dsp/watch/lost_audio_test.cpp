#include "dsp/watch/lost_audio.h"

#include <gtest/gtest.h>

namespace skedlark::watch {
namespace {

TEST(LostAudio, IsToldWhenAudioComesAgain) {
    LostAudio lost;
    std::vector<Event> out;
    lost.note(false, true, "", 0, out);
    lost.note(true, true, "device away", 800, out);
    lost.note(true, true, "", 1600, out);
    EXPECT_TRUE(out.empty());
    lost.note(false, false, "", 2400, out);  // an empty block is no audio yet
    EXPECT_TRUE(out.empty());
    lost.note(false, true, "", 2400, out);
    ASSERT_EQ(out.size(), 1U);
    const auto& event = std::get<AudioLostEvent>(out[0]);
    EXPECT_EQ(event.from_frame, 800);
    EXPECT_EQ(event.to_frame, 2400);
    EXPECT_EQ(event.reason, "device away");
    lost.end(9000, out);
    EXPECT_EQ(out.size(), 1U) << "told once";
}

TEST(LostAudio, IsToldAtTheEndToo) {
    LostAudio lost;
    std::vector<Event> out;
    lost.note(true, true, "device away", 100, out);
    lost.end(900, out);
    ASSERT_EQ(out.size(), 1U);
    EXPECT_EQ(std::get<AudioLostEvent>(out[0]).to_frame, 900);
}

// A second is 8000 frames at the work rate.
TEST(LostAudio, ALongLossIsNotedOnceWhileItLasts) {
    LostAudio lost;
    std::vector<Event> out;
    for (int turn = 0; turn < 2; ++turn) {
        out.clear();
        const FrameIndex from = 100000 * turn;
        lost.note(true, true, "device away", from, out);
        lost.tell(from + 8000, out);
        EXPECT_TRUE(out.empty());
        lost.tell(from + 8200, out);
        lost.tell(from + 8400, out);
        ASSERT_EQ(out.size(), 1U);
        EXPECT_EQ(std::get<NoteEvent>(out[0]).text, "no audio comes in: device away");
        lost.note(false, true, "", from + 9000, out);
        EXPECT_EQ(out.size(), 2U);
    }
}

TEST(LostAudio, AReasonWithoutLossStandsBetweenTwoBlocks) {
    LostAudio lost;
    std::vector<Event> out;
    lost.note(false, true, "overrun", 500, out);
    ASSERT_EQ(out.size(), 1U);
    EXPECT_EQ(std::get<AudioLostEvent>(out[0]).from_frame, 500);
    EXPECT_EQ(std::get<AudioLostEvent>(out[0]).to_frame, 500);
}

}  // namespace
}  // namespace skedlark::watch
