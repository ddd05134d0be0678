// Groups that the other side asks for again, found in the message that was sent.
//
// Stage:   station. In: the groups, what was asked. Out: their numbers, and what to send.
// Units:   groups count from 1.
// Shape:   "GR 4", "4 7-9", "GR 4 TO 9", "ALL"; by the text of a group: "AA KLMNO" (all after),
//          "AB KLMNO" (all before), "BN KLMNO PQRST" (all between), "WA KLMNO" (the one after), "WB
//          KLMNO" (the one before); AA, AB and BN also with a number, "AA 7". RPT, IMI, PSE, ? and K
//          may stand around it. "_" in a group stands for a character that was not read.
// Errors:  invalid_value: not a request, no such group, or a group that is there more than once.
// Threads: all functions are pure.
// Source:  AA, AB, BN: Radio Regulations, Atlantic City 1947, appendix 9; WA, WB: there too, from
//          memory.
// Checked: tests/dsp/station/repeats_test.cpp
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/station/message_sheet.h"

namespace skedlark::station {

// In order, each once.
[[nodiscard]] Result<std::vector<std::size_t>> groups_asked_for(std::span<const std::string> groups,
                                                                std::string_view request);

struct RepeatAnswer {
    std::vector<std::size_t> numbers{};
    std::string sent{};  // "QXB2 DE QVA7 GR 4 KLMNO GR 7 TO 9 ... [AR] K"
    double air_s = 0.0;
};
[[nodiscard]] Result<RepeatAnswer> answer_request(const MessageSheet& sheet,
                                                  std::string_view request);

}  // namespace skedlark::station
