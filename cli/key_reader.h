// Keys as they are pressed, without waiting for a line: from the terminal, or whatever standard input
// is.
//
// Stage:   cli. In: standard input. Out: keys.
// Errors:  none; where there is nothing to read from, no key comes.
// Threads: one; the terminal is as it was once this is gone, and after a signal that ends the program.
// Source:  POSIX termios
// Checked: tests/cli/key_reader_test.cpp
#pragma once

#include <termios.h>

#include <optional>

namespace skedlark::cli {

class KeyReader {
 public:
    explicit KeyReader(int descriptor);
    KeyReader(const KeyReader&) = delete;
    KeyReader& operator=(const KeyReader&) = delete;
    ~KeyReader();

    // The next key pressed, if any; does not wait.
    [[nodiscard]] std::optional<char> poll();

 private:
    int descriptor_;
    bool ended_ = false;
    std::optional<termios> before_;
};

}  // namespace skedlark::cli
