// Text as lines. Expected lines are written out by hand.
#include "cli/text_flow.h"

#include <gtest/gtest.h>

#include <string_view>

namespace skedlark::cli {
namespace {

// One character a tenth of a second, each lasting 0.08 s.
class Writer {
 public:
    explicit Writer(FlowStyle style) : flow(style) {}

    CharEvent next(std::string text, bool final = true, double confidence = 0.99) {
        CharEvent event;
        event.text = std::move(text);
        event.final = final;
        event.confidence = confidence;
        event.from_frame = at_;
        event.to_frame = at_ + 640;
        at_ += 800;
        return event;
    }
    void write(std::string_view text) {
        for (const char c : text) {
            flow.add(next(std::string(1, c)));
        }
    }
    void pause_s(double seconds) { at_ += frames_from_seconds(seconds); }

    TextFlow flow;

 private:
    FrameIndex at_ = 0;
};

using Lines = std::vector<std::string>;

TEST(TextFlow, KeepsWordsWhole) {
    Writer writer({.width = 10});
    writer.write("QVA7 DE QXB2 K");
    EXPECT_EQ(writer.flow.take_settled(), Lines{"QVA7 DE"});
    EXPECT_EQ(writer.flow.open_lines(), Lines{"QXB2 K"});
    writer.flow.end_line();
    EXPECT_EQ(writer.flow.take_settled(), Lines{"QXB2 K"});
    EXPECT_TRUE(writer.flow.open_lines().empty());
}

TEST(TextFlow, AWordThatJustFitsStays) {
    Writer writer({.width = 7});
    writer.write("QVA7 DE");
    EXPECT_TRUE(writer.flow.take_settled().empty());
    EXPECT_EQ(writer.flow.open_lines(), Lines{"QVA7 DE"});
    writer.write("X");
    EXPECT_EQ(writer.flow.take_settled(), Lines{"QVA7"});
    EXPECT_EQ(writer.flow.open_lines(), Lines{"DEX"});
}

TEST(TextFlow, BreaksAWordLongerThanALine) {
    Writer writer({.width = 4});
    writer.write("ABCDEFGHIJ");
    EXPECT_EQ(writer.flow.take_settled(), (Lines{"ABCD", "EFGH"}));
    EXPECT_EQ(writer.flow.open_lines(), Lines{"IJ"});
}

TEST(TextFlow, DropsBlanksAtBothEndsAndDoubledOnes) {
    Writer writer({.width = 40});
    writer.write("  A  B  ");
    writer.flow.end_line();
    EXPECT_EQ(writer.flow.take_settled(), Lines{"A B"});
}

TEST(TextFlow, OverlinesProcedureSignals) {
    Writer writer({.width = 40});
    CharEvent sign = writer.next("AR");
    sign.procedure = true;
    writer.flow.add(sign);
    EXPECT_EQ(writer.flow.open_lines(), Lines{"A\u0305R\u0305"});
}

TEST(TextFlow, BracketsProcedureSignalsInAscii) {
    Writer writer({.width = 40, .ascii = true});
    CharEvent sign = writer.next("AR");
    sign.procedure = true;
    writer.flow.add(sign);
    EXPECT_EQ(writer.flow.open_lines(), Lines{"[AR]"});
}

TEST(TextFlow, CountsColumnsNotBytes) {
    Writer writer({.width = 4});
    for (int i = 0; i < 4; ++i) {
        writer.flow.add(writer.next("É"));
    }
    EXPECT_TRUE(writer.flow.take_settled().empty());
    writer.write("A");
    EXPECT_EQ(writer.flow.take_settled(), Lines{"ÉÉÉÉ"});
}

TEST(TextFlow, FinalReplacesWhatWasHeardInItsPlace) {
    Writer writer({.width = 40});
    const CharEvent first = writer.next("A", false);
    const CharEvent second = writer.next("N", false);
    writer.flow.add(first);
    writer.flow.add(second);
    EXPECT_EQ(writer.flow.open_lines(), Lines{"AN"});
    CharEvent sure = first;
    sure.text = "W";
    sure.final = true;
    writer.flow.add(sure);
    EXPECT_EQ(writer.flow.open_lines(), Lines{"WN"});
}

TEST(TextFlow, HeardAgainReplacesWhatOverlapsIt) {
    Writer writer({.width = 40});
    const CharEvent first = writer.next("E", false);
    CharEvent joined = writer.next("T", false);
    writer.flow.add(first);
    writer.flow.add(joined);
    joined.text = "A";  // both marks are one character after all
    joined.from_frame = first.from_frame;
    writer.flow.add(joined);
    EXPECT_EQ(writer.flow.open_lines(), Lines{"A"});
}

TEST(TextFlow, HeardTextIsNeverSettled) {
    Writer writer({.width = 4});
    for (const char* letter : {"A", "B", "C", "D", "E", "F"}) {
        writer.flow.add(writer.next(letter, false));
    }
    EXPECT_TRUE(writer.flow.take_settled().empty());
    EXPECT_EQ(writer.flow.open_lines(), (Lines{"ABCD", "EF"}));
    writer.flow.end_line();
    EXPECT_TRUE(writer.flow.take_settled().empty());
}

TEST(TextFlow, UnderlinesDoubtOnATerminalOnly) {
    for (const bool terminal : {false, true}) {
        Writer writer({.width = 40, .terminal = terminal});
        writer.flow.add(writer.next("A", true, kDoubtfulBelow - 0.01));
        writer.flow.add(writer.next("B", true, kDoubtfulBelow + 0.01));
        writer.flow.add(writer.next("_", true, 0.2));
        EXPECT_EQ(writer.flow.open_lines(), Lines{terminal ? "\x1b[4mA\x1b[0mB_" : "AB_"});
    }
}

TEST(TextFlow, SlantsWhatTheTextChanged) {
    Writer writer({.width = 40, .terminal = true});
    CharEvent changed = writer.next("A", true, kDoubtfulBelow - 0.01);
    changed.unaided = "ET";
    writer.flow.add(changed);
    writer.write("B");
    EXPECT_EQ(writer.flow.open_lines(), Lines{"\x1b[3m\x1b[4mA\x1b[0mB"});
}

TEST(TextFlow, LabelsEveryLine) {
    Writer writer({.width = 8, .label = "2: "});
    writer.write("ABC DEF");
    writer.flow.end_line();
    EXPECT_EQ(writer.flow.take_settled(), (Lines{"2: ABC", "2: DEF"}));
}

TEST(TextFlow, ALongPauseBeginsANewLine) {
    Writer writer({.width = 40});
    writer.write("K");
    writer.pause_s(kNewLineAfterS + 1.0);
    writer.write("R");
    EXPECT_EQ(writer.flow.take_settled(), Lines{"K"});
    EXPECT_EQ(writer.flow.open_lines(), Lines{"R"});
}

TEST(TextFlow, WholeWordsStopAtTheLastGap) {
    Writer writer({.width = 40});
    writer.write("QVA7 DE QX");
    EXPECT_EQ(writer.flow.whole_words(), "QVA7 DE");
    writer.write("B2 ");
    EXPECT_EQ(writer.flow.whole_words(), "QVA7 DE QXB2");
}

}  // namespace
}  // namespace skedlark::cli
