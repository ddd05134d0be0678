// Tests of the bench that run for hours: the sound is measured as it comes and never held.
//
// Stage:   cli. In: the command line, sound of any length. Out: as the other tests of `skedlark bench`.
// Errors:  those of the input and the measurement; what was had before a device was lost is still told.
// Threads: one.
// Checked: tests/cli/bench_events_test.cpp
#pragma once

#include <functional>
#include <memory>
#include <span>
#include <string>

#include "cli/options.h"
#include "dsp/bench/report.h"

namespace skedlark::cli {

class StreamMeter {
 public:
    StreamMeter() = default;
    StreamMeter(const StreamMeter&) = delete;
    StreamMeter& operator=(const StreamMeter&) = delete;
    virtual ~StreamMeter() = default;
    virtual void process(std::span<const float> audio) = 0;
    [[nodiscard]] virtual Result<bench::Report> finish() = 0;
};

struct StreamTest {
    std::string name{};
    std::string description{};
    std::string footer{};
    std::string caution{};
    std::function<Result<std::unique_ptr<StreamMeter>>(double sample_rate_hz)> begin{};
};

CLI::App* add_stream_test(CLI::App& bench, Run& chosen, StreamTest test);

}  // namespace skedlark::cli
