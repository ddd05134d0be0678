// Reads a small text file whole.
//
// Stage:   cli. In: a path, "-" for standard input. Out: its bytes.
// Errors:  not_found, unreadable, unsupported (longer than kLongestTextFile); naming the file.
// Threads: none.
// Checked: tests/cli/sked_test.cpp
#pragma once

#include <string>

#include "dsp/core/result.h"

namespace skedlark::cli {

inline constexpr std::size_t kLongestTextFile = 16U << 20U;

[[nodiscard]] Result<std::string> read_text_file(const std::string& path);

}  // namespace skedlark::cli
