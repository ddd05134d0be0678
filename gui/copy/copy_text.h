// What was copied of every tone: as read, and beside it what the operator made of it.
//
// Stage:   gui/copy, no Qt. In: CharEvents, stretches of own sending, corrections. Out: characters in
//          order, as text.
// Units:   work-rate frames; confidence 0 to 1.
// Shape:   a final character replaces what was heard in its time. What was read is never changed: a
//          correction stands beside it. Text is kept whole.
// Errors:  correct() and the like pass over a place that is not there.
// Threads: one.
// Source:  none
// Checked: tests/desk/copy/copy_text_test.cpp
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "dsp/core/events.h"

namespace skedlark::gui {

// Less sure than this is doubtful; the same limit as on the command line.
inline constexpr double kDoubtfulBelow = 0.8;
inline constexpr double kNewLineAfterS = 10.0;

struct Copied {
    CharEvent read;
    std::optional<std::string> corrected{};  // "" : the operator says there is nothing
    bool own = false;                        // of the operator's own sending

    [[nodiscard]] bool is_gap() const { return read.text == " "; }
    // "[AR]" for a procedure signal.
    [[nodiscard]] std::string as_read() const;
    [[nodiscard]] std::string as_taken() const { return corrected.value_or(as_read()); }
    [[nodiscard]] bool doubtful() const;
};

struct Stretch {
    FrameIndex from = 0;
    FrameIndex to = 0;
};

class CopyText {
 public:
    // Characters of a tone with all that is known of them: an hour of steady traffic. Beyond it only their
    // text is kept, so that a day is as light as an hour.
    static constexpr std::size_t kKept = 4000;

    void add(const CharEvent& event);
    // Takes out what is over kKept, a quarter of it at a time, and gives its text; "": nothing is.
    [[nodiscard]] std::string take_older(int tone);
    // Own sending, open while `to` is empty.
    void send_from(FrameIndex from);
    std::optional<Stretch> send_until(FrameIndex to);
    void add_sending(const Stretch& stretch);
    [[nodiscard]] bool sending() const { return sending_from_.has_value(); }

    // All of it; what is open ends at `now`.
    [[nodiscard]] std::vector<Stretch> own_sending(FrameIndex now) const;

    [[nodiscard]] std::vector<int> tones() const;
    // Final ones, then those only heard (read.final false).
    [[nodiscard]] std::vector<Copied> of_tone(int tone) const;
    [[nodiscard]] std::span<const Copied> final_of(int tone) const;

    // Of the final character that begins at `from`.
    bool correct(int tone, FrameIndex from, std::optional<std::string> text);
    // The stretch's characters become `text` together: the first one carries it.
    bool correct_stretch(int tone, const Stretch& stretch, const std::string& text);

    // Counts up with every change.
    [[nodiscard]] std::uint64_t revision() const { return revision_; }

 private:
    struct Line {
        std::vector<Copied> final;
        std::vector<Copied> heard;
    };
    [[nodiscard]] bool is_own(const CharEvent& event) const;
    void mark_own();

    std::map<int, Line> lines_;
    std::vector<Stretch> own_;
    std::optional<FrameIndex> sending_from_;
    std::uint64_t revision_ = 0;
};

// As one string: gaps as blanks, own sending left out, a new line after a pause.
[[nodiscard]] std::string text_as_read(std::span<const Copied> characters);
[[nodiscard]] std::string text_as_taken(std::span<const Copied> characters);
// "S 71 %, H 20 %, 5 6 %"; with what was heard alone where the text knowledge changed it.
[[nodiscard]] std::string readings_of(const Copied& character);

}  // namespace skedlark::gui
