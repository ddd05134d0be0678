// The text of one followed tone: baseband frames in, characters with a confidence out.
//
// Stage:   copy. In: tone::BasebandFrame, in order of time. Out: CharEvent and NoteEvent.
// Shape:   any number of frames a call; the same events for any split of the input.
// Time:    final characters come when their posterior no longer depends on what follows: lag_s (or
//          30 dots, whichever is longer) after their gap; provisional ones as soon as their gap
//          proves them, where asked for.
// Errors:  create() returns invalid_value; process() cannot fail.
// Threads: one thread per instance.
// Source:  see docs/how-copying-works.md
// Checked: tests/dsp/copy/copier_test.cpp; error rates by tests/accuracy.
#pragma once

#include <cstdlib>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "dsp/copy/text_knowledge.h"
#include "dsp/core/events.h"
#include "dsp/core/result.h"
#include "dsp/tone/frame.h"

namespace skedlark::copy {

struct CopierConfig {
    int tone = 1;              // number put into the events
    double speed_wpm = 0.0;    // 0: unknown; else 4 to 60, the search stays within a third of it
    double lag_s = 2.0;        // 0.5 to 10; never less than 30 dots
    bool provisional = false;  // also send characters as heard (final = false)
    TextKind text = TextKind::none;  // what is known of the text
    double open_mark_below = 0.35;   // 0 to 1; a character less sure than this is printed as "_"
};

// What is wrong with it, if anything.
[[nodiscard]] std::optional<Error> fault_of(const CopierConfig& config);

class Copier {
 public:
    [[nodiscard]] static Result<Copier> create(const CopierConfig& config);
    Copier(Copier&&) noexcept;
    Copier& operator=(Copier&&) noexcept;
    ~Copier();

    // Appends what became known to out.
    void process(std::span<const tone::BasebandFrame> frames, std::vector<Event>& out);
    // End of input: everything still open becomes final.
    void finish(std::vector<Event>& out);
    // What was copied so far, for the summary; pitch and drift are the follower's to fill in.
    [[nodiscard]] ToneSummary summary() const;
    void reset();  // as after create()

 private:
    struct Search;
    explicit Copier(std::unique_ptr<Search> search);
    std::unique_ptr<Search> search_;
};

}  // namespace skedlark::copy
