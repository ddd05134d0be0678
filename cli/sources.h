// Opens what the input options name, brought to the work rate.
//
// Stage:   cli. In: InputOptions. Out: audio sources.
// Errors:  those of dsp/audio.
// Threads: none.
// Checked: tests/cli/bad_input_test.cpp, live_test.cpp
#pragma once

#include <limits>
#include <memory>
#include <optional>
#include <string>

#include "cli/json_lines.h"
#include "cli/options.h"
#include "dsp/audio/recorder.h"
#include "dsp/audio/work_rate_source.h"

namespace skedlark::cli {

struct RecordOptions {
    std::string folder{};  // empty: not recorded
    std::string format = "flac";
};

struct OpenInput {
    std::unique_ptr<audio::Recorder> recorder{};  // outlives the source
    std::unique_ptr<audio::WorkRateSource> source{};
    InputLine line{};  // about the input itself
};

// At its own rate. `file` is not looked at where the options say live. A sound input that is away is
// waited for so long.
[[nodiscard]] Result<std::unique_ptr<audio::Source>> open_source(
    const InputOptions& options, const std::string& file,
    double lost_after_s = std::numeric_limits<double>::infinity());
// At the work rate, recorded where that is asked for.
[[nodiscard]] Result<OpenInput> open_input(const InputOptions& options, const std::string& file,
                                           const RecordOptions& record);

}  // namespace skedlark::cli
