// Where things stand on the ruled page: lines of 15 s, time from left to right.
//
// Stage:   gui/copy, no Qt. In: frames, confidences. Out: lines, places along them, strengths.
// Units:   work-rate frames; places 0 to 1 along a line; strengths 0 to 1 of the ink.
// Shape:   line 0 begins at frame 0. A character that reaches over the end of its line stands where
//          it begins.
// Errors:  none.
// Threads: pure.
// Source:  none
// Checked: tests/desk/copy/page_layout_test.cpp
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "gui/copy/copy_text.h"

namespace skedlark::gui {

inline constexpr double kLineS = 15.0;

struct PagePlace {
    std::int64_t line = 0;
    double x = 0.0;  // 0 at the line's start, below 1
};

[[nodiscard]] std::int64_t line_of(FrameIndex frame);
[[nodiscard]] FrameIndex line_start(std::int64_t line);
[[nodiscard]] PagePlace place_of(FrameIndex frame);
[[nodiscard]] FrameIndex frame_at(const PagePlace& place);

// A character on its line; the middle is where its letter stands.
struct PlacedCharacter {
    std::size_t index = 0;  // in what was given
    double x_from = 0.0;
    double x_to = 0.0;
    double x_middle = 0.0;
};
// Those that begin on `line`, gaps between words left out.
[[nodiscard]] std::vector<PlacedCharacter> on_line(std::span<const Copied> characters,
                                                   std::int64_t line);
// The character whose marks are there, or the nearest within a line's hundredth; empty: none.
[[nodiscard]] std::optional<std::size_t> character_at(std::span<const Copied> characters,
                                                      const PagePlace& place);
// The next (step 1) or last (step -1) character that is no gap; empty: there is none further.
[[nodiscard]] std::optional<std::size_t> step_from(std::span<const Copied> characters,
                                                   std::optional<std::size_t> at, int step);

// How strong a character is printed: never below `least`, which can still be read.
[[nodiscard]] double strength_of(double confidence, double least);

}  // namespace skedlark::gui
