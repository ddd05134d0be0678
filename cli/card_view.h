// Contact cards, conflicts and message sheets as text that can be read at a glance and printed.
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
#include "dsp/station/message_sheet.h"
#include "dsp/station/repeats.h"

namespace skedlark::cli {

[[nodiscard]] std::string card_text(const station::ContactCard& card);
[[nodiscard]] std::string conflict_text(const std::vector<station::Conflict>& conflicts);
// battery may be null.
[[nodiscard]] std::string sheet_text(const station::MessageSheet& sheet,
                                     const station::Battery* battery);
[[nodiscard]] std::string repeat_text(const station::MessageSheet& sheet,
                                      const station::RepeatAnswer& answer);
[[nodiscard]] std::string clock_text(const station::ClockState& clock);

// "5 h 30 min", "12 min 5 s", "40 s"
[[nodiscard]] std::string length_text(double seconds);
// Words wrapped at 80 columns, the lines after the first one indented.
[[nodiscard]] std::string wrapped(const std::string& first, const std::string& text,
                                  std::size_t indent);

}  // namespace skedlark::cli
