// One way to cut a stretch into characters, as drawn from the posterior.
//
// Stage:   copy, inside. In: none. Out: SampledPath.
// Units:   boundaries in frames.
// Shape:   characters in order of time; while one is being drawn, the latest first.
// Time:    none.
// Errors:  none.
// Threads: plain data.
// Source:  none
// Checked: tests/dsp/copy/path_sampler_test.cpp
#pragma once

#include <cstdint>
#include <vector>

namespace skedlark::copy {

enum class GapKind : std::uint8_t { character, word, pause, open };  // open: cut off by `stop`

struct SampledMark {
    std::int64_t from = 0, to = 0;
    bool dash = false;
};

struct SampledCharacter {
    int node = 0;
    int hand = 0;
    GapKind before = GapKind::open;
    bool complete = false;  // false: still under way at now
    std::vector<SampledMark> marks;
    [[nodiscard]] std::int64_t from() const { return marks.front().from; }
    [[nodiscard]] std::int64_t to() const { return marks.back().to; }
};

using SampledPath = std::vector<SampledCharacter>;

}  // namespace skedlark::copy
