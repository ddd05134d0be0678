// Contact cards and conflicts as text that can be read at a glance and printed.
//
// Stage:   cli. In: what dsp/station made. Out: lines of at most 80 columns.
// Units:   times in UTC, local time beside it; kilohertz and megahertz.
// Errors:  none.
// Threads: none.
// Checked: tests/cli/card_view_test.cpp, sked_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/station/card.h"
#include "dsp/station/conflicts.h"

namespace skedlark::cli {

[[nodiscard]] std::string card_text(const station::ContactCard& card);
[[nodiscard]] std::string conflict_text(const std::vector<station::Conflict>& conflicts);
[[nodiscard]] std::string clock_text(const station::ClockState& clock);

// "5 h 30 min", "12 min 5 s", "40 s"
[[nodiscard]] std::string length_text(double seconds);
// "  label     text", wrapped.
[[nodiscard]] std::string labelled(const char* label, const std::string& text);
// Words wrapped at 80 columns, the lines after the first one indented.
[[nodiscard]] std::string wrapped(const std::string& first, const std::string& text,
                                  std::size_t indent);

}  // namespace skedlark::cli
