// An exercise and a marked copy as text and JSON.
//
// Stage:   cli. In: text, fist::CopyScore. Out: text of at most 80 columns, JSON Lines.
// Units:   in the names.
// Errors:  none.
// Threads: none.
// Checked: tests/cli/drill_test.cpp
#pragma once

#include <cstdint>
#include <optional>
#include <string>

#include "dsp/fist/copy_score.h"

namespace skedlark::cli {

// A file of text to send or copy: words in lines.
[[nodiscard]] std::string exercise_lines(const std::string& text);

struct Exercise {
    std::string kind{};
    int count = 0;
    std::uint64_t seed = 0;
    std::string text{};
    std::string file{};  // empty: to be sent, nothing was keyed
    std::string text_file{};
    double speed_wpm = 0.0;
    int earlier = 0;  // exercises that weigh the characters
};
// The text itself only where nothing was keyed for copying.
[[nodiscard]] std::string json_line(const Exercise& exercise);

struct MarkedCopy {
    std::string answer{};
    std::string sent_file{};
    fist::CopyScore score{};
    double speed_ratio = 1.0;           // next over this one
    std::optional<double> speed_wpm{};  // as sent, where it is known
    std::optional<double> next_wpm{};
    std::optional<double> next_groups_a_minute{};  // of this text
    std::optional<double> level{};                 // five-letter groups a minute
    std::optional<double> next_level{};
};
[[nodiscard]] std::string marked_text(const MarkedCopy& marked);
[[nodiscard]] std::string json_line(const MarkedCopy& marked);

}  // namespace skedlark::cli
