// Marks noted while the dial was turned, from a file: CSV, seconds and division.
//
// Stage:   dial. In: text or path. Out: marks in order of time.
// Units:   seconds from the recording's start, divisions as read.
// Shape:   a line a mark, "seconds,division"; a first line of names, lines that begin with # and
//          empty ones count for nothing. At most 1 MB.
// Time:    none.
// Errors:  begin with the file's name and line: damaged (not two numbers), invalid_value (out of
//          range, or not in order of time); not_found, unreadable.
// Threads: none.
// Source:  RFC 4180, without quoted line ends.
// Checked: tests/dsp/dial/marks_file_test.cpp
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/dial/motion.h"

namespace skedlark::dial {

// `name` stands in errors.
[[nodiscard]] Result<std::vector<DialMark>> parse_marks(std::string_view csv,
                                                        const std::string& name);
[[nodiscard]] Result<std::vector<DialMark>> read_marks(const std::string& path);

}  // namespace skedlark::dial
