// Numbers, times and names as a sheet words them.
//
// Stage:   gui/sheet. In: values. Out: UTF-8.
// Units:   named in the text.
// Shape:   what was not measured is a dash.
// Errors:  none.
// Threads: pure.
// Source:  none
// Checked: tests/desk/sheet/phrases_test.cpp
#pragma once

#include <string>
#include <string_view>

namespace skedlark::gui {

inline constexpr const char* kNothing = "–";

[[nodiscard]] std::string shown(double value, int decimals, std::string_view unit = "");
[[nodiscard]] std::string percent(double share, int decimals = 0);
// "0:04", "1:02:09"
[[nodiscard]] std::string clock_of(double seconds);
// "1 in 250"; "under 1 in 1 000 000"
[[nodiscard]] std::string one_in(double chance);
[[nodiscard]] std::string counted(long count, std::string_view singular, std::string_view plural);
// The part of a path behind its last "/".
[[nodiscard]] std::string file_name(const std::string& path);

}  // namespace skedlark::gui
