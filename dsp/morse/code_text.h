// Text from outside made sure of: UTF-8, inside the code, every slip named by its place.
//
// Stage:   morse. In: bytes as typed or read from a file, and what they are called in messages. Out:
//          the text, or its symbols.
// Units:   lines and characters are counted from 1.
// Shape:   a byte order mark is dropped; lines end by \n or \r\n.
// Errors:  damaged: another encoding; invalid_value: a character outside the code, no text at all, or
//          more than kLongestMeantText.
// Threads: pure.
// Source:  RFC 3629 (UTF-8); ITU-R M.1677-1 by code_table.h.
// Checked: tests/dsp/morse/code_text_test.cpp
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "dsp/morse/code_table.h"

namespace skedlark::morse {

// Longer than two hours of fast sending.
inline constexpr std::size_t kLongestMeantText = 20000;  // characters

// open_marks: "_" stands for a character that was not copied.
[[nodiscard]] Result<std::string> code_text(std::string_view bytes, const std::string& name,
                                            bool open_marks = false);

[[nodiscard]] Result<std::vector<std::optional<Symbol>>> meant_text(std::string_view bytes,
                                                                    const std::string& name);

// As scoring_symbols() names it: of all symbols with these elements the first, "+" for AR.
[[nodiscard]] std::string scoring_name(const Symbol& symbol);

}  // namespace skedlark::morse
