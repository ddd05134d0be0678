// What to send to have groups of the other side's message again: the reverse of repeats.h.
//
// Stage:   station. In: numbers of groups. Out: "RPT GR 4 GR 7 TO 9 ?".
// Units:   groups count from 1.
// Shape:   numbers in any order, each taken once; nothing asked for gives "".
// Errors:  none.
// Threads: pure.
// Source:  as repeats.h; RPT with the number of the group, and all after a number: there too.
// Checked: tests/dsp/station/repeat_request_test.cpp, against groups_asked_for()
#pragma once

#include <optional>
#include <span>
#include <string>

namespace skedlark::station {

// all_after: also everything behind this group, where the end did not come; 0: the whole message.
[[nodiscard]] std::string repeat_request(std::span<const std::size_t> numbers,
                                         std::optional<std::size_t> all_after = {});

}  // namespace skedlark::station
