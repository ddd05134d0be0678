// Opens what the input options name, brought to the work rate.
//
// Stage:   cli. In: InputOptions. Out: audio sources.
// Errors:  those of dsp/audio.
// Threads: none.
// Checked: tests/cli/bad_input_test.cpp, live_test.cpp
#pragma once

#include <memory>
#include <optional>
#include <string>

#include "cli/json_lines.h"
#include "cli/options.h"
#include "dsp/audio/work_rate_source.h"

namespace skedlark::cli {

struct OpenInput {
    std::unique_ptr<audio::WorkRateSource> source;
    InputLine line;  // about the input itself
};

[[nodiscard]] Result<OpenInput> open_input(const InputOptions& options, const std::string& file);
[[nodiscard]] Result<OpenInput> open_live(const InputOptions& options);

}  // namespace skedlark::cli
