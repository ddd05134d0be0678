// The real chain, as studies call it: audio in, printed characters with their confidence out.
//
// Stage:   tests. In: work-rate audio. Out: final characters, in order of time.
// Units:   hertz, words a minute.
// Shape:   a whole recording. Told: nothing; or, with told_pitch_hz, where the tone starts, which
//          leaves out the finding.
// Errors:  passed on from the stages.
// Threads: each call is independent of the others.
// Checked: tests/accuracy/chain_test.cpp
#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "dsp/core/events.h"
#include "dsp/core/result.h"
#include "dsp/watch/watch.h"

namespace skedlark::accuracy {

struct ChainConfig {
    std::optional<double> told_pitch_hz{};
    double told_pitch_error_hz = 1.0;  // standard deviation
    double speed_wpm = 0.0;            // 0: not told
    copy::TextKind text = copy::TextKind::none;
    double lag_s = watch::kFileLagS;
};

struct Printed {
    std::string token;  // as scored: "A", " ", "_", or what a procedure signal counts as
    double confidence = 0.0;
    FrameIndex from_frame = 0;
    FrameIndex to_frame = 0;
};

[[nodiscard]] Result<std::vector<Printed>> copy_audio(std::span<const float> audio,
                                                      const ChainConfig& config);

// Final characters of the events, in the form they are scored in.
[[nodiscard]] std::vector<Printed> printed_of(std::span<const Event> events);
[[nodiscard]] std::vector<std::string> tokens_of(std::span<const Printed> printed);

}  // namespace skedlark::accuracy
