// The text that was meant, from a file.
//
// Stage:   cli. In: a path. Out: symbols.
// Errors:  as read_text_file(), and those of dsp/morse/code_text.h.
// Threads: none.
// Checked: tests/cli/fist_test.cpp, drill_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/morse/code_text.h"

namespace skedlark::cli {

// Text that has been looked through, without a byte order mark. open_marks: "_" stands for a
// character that was not copied.
[[nodiscard]] Result<std::string> code_text(const std::string& path, bool open_marks);

[[nodiscard]] Result<std::vector<std::optional<morse::Symbol>>> meant_text(const std::string& path);

}  // namespace skedlark::cli
