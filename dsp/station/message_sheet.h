// A message ready to be sent: groups numbered and counted, preamble, procedure, air time.
//
// Stage:   station. In: the text, who sends it to whom, the hand that will send it. Out: the sheet.
// Units:   seconds.
// Shape:   1 to kMostGroups groups. Groups of five: letters and figures only, the last one filled
//          up with X. Words: as written, each counts one.
// Errors:  invalid_value naming the field, the character and where it stands.
// Threads: all functions are pure.
// Source:  call form ITU-R M.1170 (from memory); starting signal, end of message, end of work
//          ITU-R M.1677-1; R as receipt, and long texts in parts of 20 groups of code or 50 plain
//          words, each confirmed by K: General Radio Regulations, Washington 1927; the count in the
//          preamble ACP 124; day, hour, minute and Z: handbook practice; filling up with X: common
//          practice, no source.
// Checked: tests/dsp/station/message_sheet_test.cpp
//
// Caution: to transmit you need a licence for it.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/core/utc.h"
#include "dsp/station/air_time.h"

namespace skedlark::station {

enum class Grouping { words, fives };

inline constexpr std::size_t kMostGroups = 2000;
inline constexpr std::size_t kCodePart = 20;
inline constexpr std::size_t kPlainPart = 50;

struct MessageDraft {
    std::string text;
    Grouping grouping = Grouping::words;
    std::string from;  // own call
    std::string to;
    int number = 1;  // 1 to 9999
    UtcTime written{};
};

// What is sent before the receiver confirms with K.
struct SheetPart {
    std::size_t first_group = 1;  // counts from 1
    std::size_t last_group = 1;
    std::string sent{};  // everything that is keyed, procedure signals in brackets
    double air_s = 0.0;
};

struct MessageSheet {
    MessageDraft draft;
    std::vector<std::string> groups{};
    std::string call_up{};   // before the message
    std::string preamble{};  // "NR 3 GR 12 261830Z"
    std::vector<SheetPart> parts{};
    std::string expect{};   // the other side's receipt
    std::string receipt{};  // own one, for a message that came in; its number is left open
    std::string sign_off{};
    HandLengths hand{};
    double air_s = 0.0;  // call-up, message and sign-off
    double message_air_s = 0.0;
};

[[nodiscard]] Result<std::vector<std::string>> split_into_groups(std::string_view text,
                                                                 Grouping grouping);
[[nodiscard]] Result<MessageSheet> make_message_sheet(const MessageDraft& draft,
                                                      const HandLengths& hand);

}  // namespace skedlark::station
