// One text out of many sampled readings, each character with the share of readings that have it
// there.
//
// Stage:   copy. In: sampled paths over one stretch. Out: characters that do not overlap, in order.
// Units:   boundaries in frames; shares 0 to 1.
// Errors:  none.
// Threads: pure function.
// Source:  the choice that is right most often (maximum expected accuracy) over shares of the
//          posterior; best set of non-overlapping intervals (Kleinberg and Tardos, Algorithm
//          Design, section 6.1).
// Checked: tests/dsp/copy/consensus_test.cpp
#pragma once

#include <cstdint>
#include <utility>
#include <vector>

#include "dsp/copy/path_sampler.h"

namespace skedlark::copy {

struct AgreedCharacter {
    int node = -1;  // -1: something was sent here, but no reading of it is likely enough
    double from = 0.0, to = 0.0;
    double share = 0.0;
    double word_gap_before = 0.0;  // share of its readings with a word gap or pause before it
    std::vector<std::pair<int, double>> others;  // node and share, likeliest first
};

struct ConsensusConfig {
    double dot_frames = 12.0;
    double open_mark_below = 0.35;
    int paths = 1;  // how many were drawn, empty ones included
};

// Only complete characters that begin at or after `since` count.
[[nodiscard]] std::vector<AgreedCharacter> agree(const std::vector<SampledPath>& paths,
                                                 double since, const ConsensusConfig& config);

}  // namespace skedlark::copy
