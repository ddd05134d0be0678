// Message sheets, and groups asked for again, as text to send from.
//
// Stage:   cli. In: what dsp/station made. Out: lines of at most 80 columns (but for longer words).
// Units:   minutes and seconds on the air; percent of the battery.
// Errors:  none.
// Threads: none.
// Checked: tests/cli/sked_test.cpp
#pragma once

#include <string>

#include "dsp/station/message_sheet.h"
#include "dsp/station/repeats.h"

namespace skedlark::cli {

// battery may be null.
[[nodiscard]] std::string sheet_text(const station::MessageSheet& sheet,
                                     const station::Battery* battery);
[[nodiscard]] std::string repeat_text(const station::MessageSheet& sheet,
                                      const station::RepeatAnswer& answer);

}  // namespace skedlark::cli
