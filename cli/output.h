// Standard output that notices when nobody takes it any more.
//
// Stage:   cli. In: text. Out: file descriptor 1, in whole writes.
// Errors:  the first failed write is kept in failure(); later writes are dropped. SIGPIPE must be
//          ignored (guard_standard_streams() does it).
// Threads: one.
// Checked: tests/cli/streams_test.cpp
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "cli/exit_status.h"

namespace skedlark::cli {

struct OutputFailure {
    std::string message;
    ExitStatus status = kCutShort;
};

class Output {
 public:
    explicit Output(int descriptor) : descriptor_(descriptor) {}

    // Held back until flush() or 64 KiB.
    void write(std::string_view text);
    // False when the text could not be delivered; then failure() says why.
    bool flush();
    [[nodiscard]] const std::optional<OutputFailure>& failure() const { return failure_; }

 private:
    int descriptor_;
    std::string pending_;
    std::optional<OutputFailure> failure_;
};

// To be called first in main(): ignores SIGPIPE, and fills descriptors 0 to 2 that came closed, so
// that a sound file opened later cannot become standard output and be written over.
void guard_standard_streams();

// One line on standard error: "skedlark copy: MESSAGE".
void print_error(std::string_view verb, std::string_view message);

}  // namespace skedlark::cli
