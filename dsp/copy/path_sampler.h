// Draws whole readings from the posterior of the text search.
//
// Stage:   copy. In: a trellis carried on to now. Out: paths, each one way to cut the stretch into
//          characters, drawn with the probability the evidence gives it. Shares of paths are
//          posteriors.
// Shape:   boundaries in frames; a path runs back to `stop` and lists its characters in order of
//          time.
// Errors:  none.
// Threads: one thread per instance.
// Source:  forward filtering, backward sampling (Scott, J. Amer. Statist. Assoc. 97 (2002)
//          337-351); with text knowledge by sequential importance sampling with resampling (Gordon,
//          Salmond and Smith, IEE Proc. F 140 (1993) 107-113).
// Checked: tests/dsp/copy/path_sampler_test.cpp, against posteriors from a plain sum over all cuts.
#pragma once

#include <cstdint>
#include <random>
#include <vector>

#include "dsp/copy/sampled_path.h"
#include "dsp/copy/text_knowledge.h"
#include "dsp/copy/text_trellis.h"

namespace skedlark::copy {

class PathSampler {
 public:
    explicit PathSampler(std::uint32_t seed = 1) : random_(seed) {}
    // Paths from the trellis' now back to the first boundary at or before `stop`. With knowledge of
    // the text they are drawn by its odds as well; what lies before stop counts without them.
    [[nodiscard]] std::vector<SampledPath> draw(const TextTrellis& trellis,
                                                const MarkEvidence& evidence, std::int64_t stop,
                                                int paths,
                                                const TextKnowledge* knowledge = nullptr);

 private:
    std::mt19937 random_;
};

}  // namespace skedlark::copy
