// The one text that is sent again and again, so that weeks can be compared.
//
// Stage:   fist. Out: the text.
// Units:   counted characters as in test_rules.h.
// Shape:   a message of an invented relief net as it goes on the air: heading, plain words, figures,
//          three code and two figure groups, ending. 39 words; 104 letters, 28 figures and punctuation marks
//          and 4 procedure signals: 168 counted characters. Every letter and every figure
//          comes twice at least.
// Errors:  none.
// Threads: pure.
// Source:  written for this; calls from the series nobody has, QVA to QZZ.
// Checked: tests/dsp/fist/test_text_test.cpp, the composition as stated here
#pragma once

#include <optional>
#include <span>
#include <string_view>

#include "dsp/morse/code_table.h"

namespace skedlark::fist {

// Never changed: attempts are told to be of this test by the text itself.
inline constexpr std::string_view kTestText =
    "[KA] QVA7 DE QXB2 NR 14 [BT] SADDLE HUT TO GLACIER HUT. QUOTA OF FUEL JUST FIXED, 36 KG BY "
    "SLED VIA PASS. ZONE 5 CLEAR OF SNOW? WIND 270/8, TEMP 9 [BT] KXQJZ VYWPB MFGCH 40615 72938 "
    "[AR]";

[[nodiscard]] bool is_test_text(std::span<const std::optional<morse::Symbol>> text);

}  // namespace skedlark::fist
