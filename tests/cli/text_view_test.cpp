// What a reader sees: plain output byte by byte, and the picture on a terminal through a small
// model of one that knows only the control sequences of ECMA-48 the view may use.
#include "cli/text_view.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <array>
#include <memory>
#include <sstream>

#include "dsp/core/units.h"

namespace skedlark::cli {
namespace {

// An Output whose text can be read back.
class Pipe {
 public:
    Pipe() {
        EXPECT_EQ(::pipe(ends_.data()), 0);
        output = std::make_unique<Output>(ends_[1]);
    }
    Pipe(const Pipe&) = delete;
    Pipe& operator=(const Pipe&) = delete;
    ~Pipe() {
        ::close(ends_[0]);
        ::close(ends_[1]);
    }
    std::string taken() {
        // An end mark, so that reading never waits.
        EXPECT_EQ(::write(ends_[1], "\0", 1), 1);
        std::string text;
        char c = 0;
        while (::read(ends_[0], &c, 1) == 1 && c != '\0') {
            text += c;
        }
        return text;
    }
    std::unique_ptr<Output> output;

 private:
    std::array<int, 2> ends_{};
};

// Rows of characters; CR, LF (to column 0), cursor up, erase below. Styles are skipped.
class Screen {
 public:
    void write(const std::string& text) {
        for (std::size_t i = 0; i < text.size(); ++i) {
            if (text[i] == '\r') {
                column_ = 0;
            } else if (text[i] == '\n') {
                ++row_;
                column_ = 0;
            } else if (text[i] == '\x1b') {
                i = control(text, i);
            } else {
                put(text[i]);
            }
        }
    }
    [[nodiscard]] std::vector<std::string> rows() const { return rows_; }

 private:
    std::size_t control(const std::string& text, std::size_t i) {
        const std::size_t end = text.find_first_of("AJm", i);
        const std::string number = text.substr(i + 2, end - i - 2);
        if (text[end] == 'A') {
            row_ -= std::stoul(number);
        } else if (text[end] == 'J') {
            rows_.resize(row_ + 1);
            rows_[row_].resize(column_);
        }
        return end;
    }
    void put(char c) {
        rows_.resize(std::max(rows_.size(), row_ + 1));
        rows_[row_].resize(std::max(rows_[row_].size(), column_ + 1), ' ');
        rows_[row_][column_++] = c;
    }
    std::vector<std::string> rows_;
    std::size_t row_ = 0;
    std::size_t column_ = 0;
};

class Writer {
 public:
    std::vector<Event> operator()(const std::string& text, int tone = 1, bool final = true) {
        std::vector<Event> events;
        for (const char c : text) {
            CharEvent event;
            event.tone = tone;
            event.from_frame = at_;
            event.to_frame = at_ + 700;
            event.text = std::string(1, c);
            event.final = final;
            event.confidence = 0.99;
            events.emplace_back(event);
            at_ += 800;
        }
        return events;
    }
    void rewind(int characters) { at_ -= 800 * characters; }

 private:
    FrameIndex at_ = 0;
};

TEST(TextView, PlainOutputHoldsTextOnlyAndSideTheRest) {
    Pipe text;
    Pipe side;
    Writer keyed;
    TextView view({}, *text.output, *side.output);
    view.show({NoteEvent{.at_frame = 8000, .text = "level is low"}});
    view.show(keyed("QVA7 DE QXB2"));
    view.show({SummaryEvent{.seconds = 61.0, .tones = {}}});
    EXPECT_EQ(text.taken(), "QVA7 DE QXB2\n");
    EXPECT_EQ(side.taken(), "-- 0:01 level is low\n-- 1:01 of audio, no keyed tone heard\n");
}

TEST(TextView, WhatTheTextChangedIsToldAtTheEnd) {
    Pipe text;
    Pipe side;
    Writer keyed;
    TextView view({}, *text.output, *side.output);
    auto events = keyed("HUT AND FIRE");
    const std::vector<std::pair<std::size_t, std::string>> changes = {
        {0, "S"}, {1, ""}, {4, "A"}, {8, " F"}, {9, "E E"}};
    // Blanks are events as well: the places are those of the string.
    for (const auto& [place, unaided] : changes)
        std::get<CharEvent>(events[place]).unaided = unaided;
    view.show(events);
    view.show({SummaryEvent{.seconds = 61.0, .tones = {}}});
    EXPECT_EQ(text.taken(), "HUT AND FIRE\n");
    EXPECT_EQ(side.taken(),
              "-- 1:01 of audio, no keyed tone heard\n"
              "--   by --text: 0:00 \"H\" for \"S\", 0:00 \"U\" for nothing, 0:00 gap before A,\n"
              "--   0:00 no gap before F, 0:00 \"I\" for \"E E\"\n");
}

TEST(TextView, PlainOutputGivesEachWordWhenItsGapIsKnown) {
    Pipe text;
    Writer keyed;
    TextView view({}, *text.output, *text.output);
    view.show(keyed("QVA7 D"));
    EXPECT_EQ(text.taken(), "QVA7");
    view.show(keyed("E Q"));
    EXPECT_EQ(text.taken(), " DE");
    view.finish();
    EXPECT_EQ(text.taken(), " Q\n");
}

TEST(TextView, PlainOutputWrapsAt80Columns) {
    Pipe text;
    Writer keyed;
    TextView view({}, *text.output, *text.output);
    for (int i = 0; i < 60; ++i) {
        view.show(keyed("QRSTU "));
    }
    view.finish();
    std::istringstream lines(text.taken());
    std::string line;
    int groups = 0;
    while (std::getline(lines, line)) {
        EXPECT_LE(line.size(), 80U);
        EXPECT_EQ((line.size() + 1) % 6, 0U) << line;  // only whole groups
        groups += static_cast<int>(line.size() + 1) / 6;
    }
    EXPECT_EQ(groups, 60);
}

TEST(TextView, PlainOutputNeverShowsWhatIsOnlyHeard) {
    Pipe text;
    Writer keyed;
    TextView view({}, *text.output, *text.output);
    view.show(keyed("ABC ", 1, false));
    view.finish();
    EXPECT_EQ(text.taken(), "");
}

TEST(TextView, LabelledTonesDoNotMix) {
    Pipe text;
    Writer keyed;
    TextView view({.terminal = {.width = 20}, .label_tones = true}, *text.output, *text.output);
    view.show(keyed("AB ", 1));
    view.show(keyed("XY ", 2));
    view.show(keyed("CD", 1));
    view.finish();
    EXPECT_EQ(text.taken(), "1: AB CD\n2: XY\n");
}

TEST(TextView, AnotherToneBeginsALineWhereNothingIsLabelled) {
    Pipe text;
    Writer keyed;
    TextView view({}, *text.output, *text.output);
    view.show(keyed("AB CD", 1));
    view.show(keyed("XY", 2));
    view.finish();
    EXPECT_EQ(text.taken(), "AB CD\nXY\n");
}

TEST(TextView, TerminalCorrectsInPlace) {
    Pipe text;
    Screen screen;
    Writer keyed;
    TextView view({.terminal = {.is_terminal = true, .can_redraw = true, .width = 10}},
                  *text.output, *text.output);
    view.show(keyed("QVA7 ", 1, false));
    view.show(keyed("DE QXB", 1, false));
    screen.write(text.taken());
    EXPECT_EQ(screen.rows(), (std::vector<std::string>{"QVA7 DE", "QXB"}));
    keyed.rewind(11);
    view.show(keyed("QVR7 "));
    screen.write(text.taken());
    EXPECT_EQ(screen.rows(), (std::vector<std::string>{"QVR7 DE", "QXB"}));
    view.show({NoteEvent{.at_frame = 0, .text = "level is low"}});
    view.set_status("[####]");
    screen.write(text.taken());
    EXPECT_EQ(screen.rows(),
              (std::vector<std::string>{"-- 0:00 level is low", "QVR7 DE", "QXB", "[####]"}));
    view.show(keyed("DE QXB2"));
    view.finish();
    screen.write(text.taken());
    EXPECT_EQ(screen.rows(), (std::vector<std::string>{"-- 0:00 level is low", "QVR7 DE", "QXB2"}));
}

TEST(TextView, SummaryShowsPitchSpeedSnrAndTiming) {
    ToneSummary tone{.tone = 1,
                     .pitch_hz = 700.24,
                     .pitch_drift_hz_per_min = -0.52,
                     .snr_2500hz_db = -8.91,
                     .speed_wpm = 19.96,
                     .text = "QVA7",
                     .mean_confidence = 0.973};
    tone.timing = {0.0601, 0.1803, 0.0598, 0.1810, 0.4204, 3.0, 0.031, 0.022, 0.0, 0.0, 11};
    const auto lines = summary_lines({.seconds = 3725.0, .tones = {tone}});
    ASSERT_EQ(lines.size(), 4U);
    EXPECT_EQ(lines[3], "-- 1:02:05 of audio");
    for (const std::string& line : lines) {
        EXPECT_LE(line.size(), 80U) << line;
    }
    EXPECT_EQ(lines[0],
              "-- tone 1: 700.2 Hz (-0.5 Hz/min), -8.9 dB in 2500 Hz, 20.0 wpm, 97 % sure");
    EXPECT_EQ(lines[1], "--   11 marks: dot 60 ms, dash 180 ms (3.00 : 1), gaps 60 / 181 / 420 ms");
    EXPECT_EQ(lines[2], "--   spread of dots 3 %, of dashes 2 %");
}

TEST(TextView, ToneIsIntroducedOnlyWhenItGivesText) {
    Pipe text;
    Pipe side;
    Writer keyed;
    TextView view({}, *text.output, *side.output);
    view.show({ToneEvent{1, 8000, 500.0, false, -20.0, 1e-4},
               ToneEvent{2, 8000, 700.0, true, -9.0, 1e-6}});
    EXPECT_EQ(side.taken(), "");
    view.show(keyed("A", 2));
    view.show(keyed("B", 2));
    EXPECT_EQ(side.taken(), "-- 0:01 tone 2: 700.0 Hz at -9.0 dB, keyed, false alarm 1 in 1e+06\n");
}

TEST(TextView, SummaryNamesTheStrongestOfTheTonesThatGaveNoText) {
    SummaryEvent summary{.seconds = 5.0, .tones = {}};
    for (int i = 1; i <= 6; ++i) {
        ToneSummary tone;
        tone.tone = i;
        tone.pitch_hz = 100.0 * i;
        tone.snr_2500hz_db = -20.0 + i;
        summary.tones.push_back(tone);
    }
    const auto lines = summary_lines(summary);
    ASSERT_EQ(lines.size(), 2U);
    EXPECT_EQ(lines[0],
              "-- keyed too, but not copied: 600 Hz (-14 dB), 500 Hz (-15 dB), "
              "400 Hz (-16 dB), 300 Hz (-17 dB) and 2 more");
}

}  // namespace
}  // namespace skedlark::cli
