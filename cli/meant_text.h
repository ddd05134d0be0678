// The text that was meant, from a file: UTF-8, inside the code, every slip named by its place.
//
// Stage:   cli. In: a path. Out: symbols.
// Errors:  as read_text_file(); damaged: another encoding; invalid_value: a character outside the
//          code, by line and character; no characters at all.
// Threads: none.
// Checked: tests/cli/fist_test.cpp, drill_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/morse/code_table.h"

namespace skedlark::cli {

// Longer than two hours of fast sending.
inline constexpr std::size_t kLongestMeantText = 20000;  // characters

// The same as text that has been looked through, without a byte order mark. open_marks: "_" stands
// for a character that was not copied.
[[nodiscard]] Result<std::string> code_text(const std::string& path, bool open_marks);

[[nodiscard]] Result<std::vector<std::optional<morse::Symbol>>> meant_text(const std::string& path);

}  // namespace skedlark::cli
