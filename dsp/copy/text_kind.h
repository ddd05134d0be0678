// What kind of text is expected, as the operator may say it.
//
// Stage:   copy. In: none. Out: TextKind and its names.
// Units:   none.
// Shape:   kTextKinds in the order of the kinds.
// Time:    none.
// Errors:  a word that names no kind gives none.
// Threads: plain data.
// Source:  none
// Checked: tests/dsp/copy/text_knowledge_test.cpp
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string_view>

namespace skedlark::copy {

enum class TextKind : std::uint8_t { none, groups, plain };

inline constexpr std::array<std::string_view, 3> kTextKinds = {"none", "groups", "plain"};

[[nodiscard]] constexpr TextKind text_kind(std::string_view name) {
    for (std::size_t i = 0; i < kTextKinds.size(); ++i)
        if (kTextKinds[i] == name) return static_cast<TextKind>(i);
    return TextKind::none;
}

}  // namespace skedlark::copy
