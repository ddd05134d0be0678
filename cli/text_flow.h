// Copied text as lines: what is final flows into words and lines, what is only heard hangs on
// behind.
//
// Stage:   cli. In: CharEvent of one tone. Out: lines of UTF-8 no wider than the width asked for.
// Units:   columns of a terminal. An overline is a combining character and takes none.
// Shape:   a line that is settled never changes again; the open lines are to be drawn anew after
//          every event. Words are kept whole where they fit on a line.
// Time:    a pause of over kNewLineAfterS begins a new line.
// Errors:  none.
// Threads: one.
// Checked: tests/cli/text_flow_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/core/events.h"

namespace skedlark::cli {

// A character less sure than this is underlined on a terminal; an open mark always speaks for
// itself.
inline constexpr double kDoubtfulBelow = 0.8;
inline constexpr double kNewLineAfterS = 10.0;

struct FlowStyle {
    int width = 80;      // columns, at least 1 more than the label
    bool ascii = false;  // procedure signals as [AR] instead of overlined
    // Underline what is doubtful, dim what is not final yet, slant what knowledge of the text changed.
    bool terminal = false;
    std::string label{};  // at the head of every line, "2: "; plain ASCII
};

class TextFlow {
 public:
    explicit TextFlow(FlowStyle style) : style_(std::move(style)) {}

    void add(const CharEvent& event);
    void set_width(int width) { style_.width = width; }
    // What is open is final now; the next character begins a new line.
    void end_line();
    // Lines that became settled since the last call.
    [[nodiscard]] std::vector<std::string> take_settled();
    // The line being written, and what is heard behind it; empty when nothing is open.
    [[nodiscard]] std::vector<std::string> open_lines() const;
    // The open line as far as whole final words reach, for output that can't be drawn anew.
    [[nodiscard]] std::string whole_words() const;

 private:
    struct Glyph {
        std::string text;  // ready to print, without styles
        int columns = 1;   // 0: a word gap
        bool doubtful = false;
        bool by_text = false;  // knowledge of the text made it what it is
        bool heard_only = false;
        FrameIndex from_frame = 0;
        FrameIndex to_frame = 0;
    };
    using Line = std::vector<Glyph>;

    [[nodiscard]] Glyph glyph_of(const CharEvent& event) const;
    [[nodiscard]] std::vector<Line> wrapped(const Line& glyphs) const;
    [[nodiscard]] std::string printed(const Line& line) const;
    void settle_full_lines();

    FlowStyle style_;
    Line open_;   // final, on the line being written
    Line heard_;  // provisional, behind it
    std::vector<std::string> settled_;
};

}  // namespace skedlark::cli
