#include "dsp/fist/rhythm_line.h"

#include "tests/dsp/fist/keyed.h"

namespace skedlark::fist {
namespace {

struct Sent {
    Keying keying;
    Sending sending;
};
Sent sent(const std::string& text, double speed_wpm) {
    Sent out{keying_of(marks_of(text, "machine", speed_wpm)), {}};
    out.sending = read_sending(out.keying, probable_kinds(out.keying, *find_hand(out.keying)));
    return out;
}

const std::string kText = "PARIS PARIS PARIS PARIS CODEX CODEX CODEX CODEX";

TEST(RhythmLine, MachineSendingIsLevelAndEven) {
    const Sent one = sent(kText, 18.0);
    const auto line = rhythm_line(one.keying, one.sending, 1.2 / 18.0);
    // E has one mark and no speed of its own: 20 characters of PARIS and 16 of CODEX.
    EXPECT_EQ(character_speeds(one.keying, one.sending, 1.2 / 18.0).size(), 36U);
    ASSERT_EQ(line.size(), 8U);  // 36 characters, 8 at a time, 4 on
    for (const RhythmPoint& point : line) {
        EXPECT_NEAR(point.speed_wpm, 18.0, 1e-6);  // PARIS: 1.2 s over the unit
        EXPECT_NEAR(point.unevenness, 0.0, 1e-6);
    }
    EXPECT_LT(line.front().at_s, line.back().at_s);
}

// One half at 16, one at 20 words a minute: the line goes from one to the other, and is uneven only
// where both are in it: ln(20/16)/2 = 0.112 as a standard deviation of equal halves.
TEST(RhythmLine, AStepOfSpeedIsSeenWhereItIs) {
    const auto slow = marks_of("PARIS PARIS PARIS PARIS", "machine", 16.0);
    auto marks = slow;
    for (auto mark : marks_of("PARIS PARIS PARIS PARIS", "machine", 20.0)) {
        mark.on_s += slow.back().off_s;
        mark.off_s += slow.back().off_s;
        marks.push_back(mark);
    }
    const Keying keying = keying_of(marks);
    const Sending sending = read_sending(keying, probable_kinds(keying, *find_hand(keying)));
    const auto line = rhythm_line(keying, sending, 1.2 / 18.0);
    ASSERT_GE(line.size(), 5U);
    EXPECT_NEAR(line.front().speed_wpm, 16.0, 1e-6);
    EXPECT_NEAR(line.back().speed_wpm, 20.0, 1e-6);
    double most = 0.0;
    for (const RhythmPoint& point : line) most = std::max(most, point.unevenness);
    EXPECT_NEAR(most, 0.112 * std::sqrt(8.0 / 7.0), 0.015);
    EXPECT_NEAR(line.front().unevenness, 0.0, 1e-6);
}

TEST(RhythmLine, TooFewCharactersMakeNoLine) {
    const Sent one = sent("PARIS", 18.0);
    EXPECT_TRUE(rhythm_line(one.keying, one.sending, 1.2 / 18.0).empty());
    EXPECT_TRUE(rhythm_line({}, {}, 0.06).empty());
}

}  // namespace
}  // namespace skedlark::fist
