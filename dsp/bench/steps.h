// Stretches of even level in one recording: generator on and off, or step by step.
//
// Stage:   bench. In: audio. Out: EvenStretches, BlockPowers.
// Units:   powers of mean square in the band; seconds from the start.
// Shape:   one call a recording of at most kMostFrames.
// Time:    blocks of kBlockS; a change is placed to a block.
// Errors:  those of band.h.
// Threads: pure.
// Source:  least squares in dB with a price for each change, found by dynamic programming (Jackson et
//          al., IEEE Signal Process. Lett. 12 (2005) 105-108); price 3 ln N a change, our choice.
// Checked: tests/dsp/bench/steps_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/bench/band.h"
#include "dsp/bench/figure.h"

namespace skedlark::bench {

inline constexpr double kBlockS = 0.1;
inline constexpr double kShortestStretchS = 1.0;

struct BlockPowers {
    std::vector<double> power;  // one a block
    double block_s = kBlockS;

    // Mean from ... to, both away from the edges by guard_s.
    struct Mean {
        Figure power{};
        double seconds = 0.0;
    };
    [[nodiscard]] Mean mean(std::span<const std::pair<double, double>> stretches,
                            double guard_s) const;
};
[[nodiscard]] Result<BlockPowers> block_powers(std::span<const float> audio, double sample_rate_hz,
                                               const Band& band);

// Unlike a Stretch (input_check.h) not named by the person but found.
struct EvenStretch {
    double from_s = 0.0;
    double to_s = 0.0;
    double level_db = 0.0;  // of mean square
};
[[nodiscard]] std::vector<EvenStretch> find_stretches(const BlockPowers& blocks);

}  // namespace skedlark::bench
