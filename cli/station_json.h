// What skedlark sked tells, as JSON Lines.
//
// Stage:   cli. In: what dsp/station made. Out: one line of JSON with its line feed, as
//          docs/file-formats.md lists it.
// Errors:  none; what is not there is null.
// Threads: none.
// Checked: tests/cli/sked_test.cpp
#pragma once

#include <string>

#include "dsp/station/card.h"
#include "dsp/station/conflicts.h"
#include "dsp/station/message_sheet.h"
#include "dsp/station/repeats.h"

namespace skedlark::cli {

[[nodiscard]] std::string json_line(const station::ContactCard& card);
[[nodiscard]] std::string json_line(const station::Conflict& conflict);
[[nodiscard]] std::string json_line(const station::MessageSheet& sheet,
                                    const station::Battery* battery);
[[nodiscard]] std::string json_line(const station::MessageSheet& sheet,
                                    const station::RepeatAnswer& answer);

}  // namespace skedlark::cli
