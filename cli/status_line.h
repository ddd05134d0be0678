// A line that tells how far work has come, redrawn in place at the foot of what is written.
//
// Stage:   cli. In: what to show. Out: characters to a terminal (ECMA-48), none where it cannot
//          redraw.
// Errors:  none; those of the output stand there.
// Threads: none.
// Checked: tests/cli/status_line_test.cpp
#pragma once

#include <string_view>

#include "cli/output.h"

namespace skedlark::cli {

class StatusLine {
 public:
    // out: must outlive this. can_redraw: false shows nothing.
    StatusLine(Output& out, bool can_redraw) : out_(out), can_redraw_(can_redraw) {}

    void show(std::string_view line);
    // To be called before anything else is written there.
    void clear();
    [[nodiscard]] bool can_redraw() const { return can_redraw_; }

 private:
    Output& out_;
    bool can_redraw_;
    bool shown_ = false;
};

}  // namespace skedlark::cli
