// Shows the events of a watch to a reader: on a terminal as they are heard, elsewhere as plain
// lines.
//
// Stage:   cli. In: events of one input. Out: text to Output; all else (tones found, notes,
//          summary) to the side channel, which is standard error unless standard output is a
//          terminal.
// Shape:   on a terminal the open lines are drawn anew after every batch of events; elsewhere only
//          final text is written, word by word for one tone, line by line for several.
// Errors:  Output keeps them.
// Threads: one.
// Checked: tests/cli/text_view_test.cpp
#pragma once

#include <map>
#include <string>
#include <vector>

#include "cli/output.h"
#include "cli/terminal.h"
#include "cli/text_flow.h"

namespace skedlark::cli {

struct ViewOptions {
    Terminal terminal;         // behind the text
    bool ascii = false;        // procedure signals as [AR]
    bool label_tones = false;  // more than one tone may be copied
};

class TextView {
 public:
    // side may be the same Output as text.
    TextView(ViewOptions options, Output& text, Output& side)
        : options_(options), text_(text), side_(side) {}

    void show(const std::vector<Event>& events);
    // A line below the text that is drawn over, such as how far a file has been read; "" for none.
    // Only a terminal shows it.
    void set_status(std::string status);
    // Everything open is written out and ended with a line feed.
    void finish();
    void set_width(int width);

 private:
    TextFlow& flow(int tone);
    TextFlow& take_up(int tone);
    void introduce(int tone);
    void say_changes();
    void note_change(const CharEvent& character);
    void say(const std::string& line);  // to the side, above the open lines
    void draw();
    void draw_terminal();
    void draw_plain();
    void erase_drawn();

    ViewOptions options_;
    Output& text_;
    Output& side_;
    std::map<int, TextFlow> flows_;
    std::map<int, ToneEvent> latest_;  // what is known of tones, said when they give text
    int current_tone_ = 0;
    std::vector<std::string> changed_by_text_;  // said with the summary
    std::vector<std::string> said_;             // waits for the next drawing, terminal only
    std::vector<std::string> drawn_;            // open lines on the terminal now
    std::string status_;
    std::string plain_line_;  // what of the open line is written already, plain output
};

// "0:12", "1:02:03"
[[nodiscard]] std::string clock_text(double seconds);
// What a reader is told about an event; empty for text. Ends without a line feed.
[[nodiscard]] std::string remark(const Event& event);
// The quiet lines at the end.
[[nodiscard]] std::vector<std::string> summary_lines(const SummaryEvent& summary);

}  // namespace skedlark::cli
