// The message in what was copied: its groups with numbers, the count of its preamble, what is doubtful.
//
// Stage:   gui/copy, no Qt. In: characters of one tone. Out: CopiedMessage.
// Units:   groups count from 1.
// Shape:   the newest stretch between BT and AR; where there is no BT, everything. In fives a word of
//          ten letters is two groups, and neighbours that make five together are one: gaps are what
//          is read least surely. Nothing else is moved.
// Errors:  none.
// Threads: pure.
// Source:  preamble and signs as dsp/station/message_sheet.h; CK for the count as in landline
//          messages: common practice, no source.
// Checked: tests/desk/copy/message_test.cpp
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "gui/copy/copy_text.h"

namespace skedlark::gui {

struct CopiedGroup {
    std::string text;  // as taken
    FrameIndex from = 0;
    FrameIndex to = 0;
    std::string doubt{};  // why it is doubtful; "" where it is not
    bool corrected = false;
};

struct CopiedMessage {
    std::string preamble{};  // "NR 3 GR 12 261830Z"
    std::vector<CopiedGroup> groups{};
    std::optional<std::size_t> told{};  // count of the preamble
    bool ended = false;                 // AR was copied
    bool in_fives = false;

    [[nodiscard]] std::vector<std::size_t> doubtful() const;
    // "12 groups, as the preamble says"; "11 groups, 1 short of the 12 of the preamble".
    [[nodiscard]] std::string count_in_words() const;
    // RPT GR 4 ?; "" where nothing is to be asked for.
    [[nodiscard]] std::string request() const;
};

// in_fives empty: judged by the words, fives where more than three of five, and of three at least, are
// of five characters.
[[nodiscard]] CopiedMessage find_message(std::span<const Copied> characters,
                                         std::optional<bool> in_fives = {});
// "  1 KXQMV   2 BTLWE ..." in rows of `in_a_row`, doubtful groups with a ? behind, corrected with *.
[[nodiscard]] std::string groups_in_rows(const CopiedMessage& message, std::size_t in_a_row = 5);

}  // namespace skedlark::gui
