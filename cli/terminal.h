// What stands behind a file descriptor: a terminal, how wide, and can the cursor be moved on it.
//
// Stage:   cli.
// Errors:  none; not a terminal is a state.
// Threads: none.
// Checked: tests/cli/terminal_test.cpp
#pragma once

namespace skedlark::cli {

inline constexpr int kPlainWidth = 80;  // columns, where there is no terminal to ask

struct Terminal {
    bool is_terminal = false;
    bool can_redraw = false;  // understands the cursor movements of ECMA-48
    int width = kPlainWidth;  // columns
};

[[nodiscard]] Terminal terminal_at(int descriptor);

}  // namespace skedlark::cli
