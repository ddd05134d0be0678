// From what was recorded to a result: which measurement of dsp/bench a test is, with its takes and texts.
//
// Stage:   gui/bench, no Qt. In: BenchOrder. Out: BenchDone: the sheet, its picture, files it can give.
// Units:   as dsp/bench.
// Shape:   one call a result; some seconds at most.
// Errors:  those of dsp/bench and of the fields, a sentence each.
// Threads: pure, but that a drift or run-down meter in the order is finished by it.
// Source:  none
// Checked: tests/desk/bench/bench_jobs_test.cpp
#pragma once

#include <optional>

#include "dsp/bench/chain.h"
#include "dsp/bench/dial_check.h"
#include "dsp/bench/picture.h"
#include "dsp/bench/sheet.h"
#include "dsp/dial/receiver.h"
#include "gui/bench/bench_run.h"

namespace skedlark::gui {

struct BenchOrder {
    std::string test{};
    FieldTexts texts{};
    std::vector<BenchStep> steps{};
    std::map<std::string, BenchTake> takes{};
    bench::Limits limits{};
    std::optional<bench::Chain> chain{};
    std::optional<dial::Receiver> receiver{};  // for the dial
};

struct BenchDone {
    bench::Sheet sheet{};
    bench::Picture picture{};
    bool kept = false;  // all limits, and what the test itself asks
    bool live = false;
    std::optional<bench::Chain> chain{};        // of the test chain, to be saved
    std::optional<dial::Receiver> corrected{};  // of the test dial
};

[[nodiscard]] Result<BenchDone> measure(const BenchOrder& order);

// What the fields say of a run; steps of kind run.
[[nodiscard]] Result<bench::DriftConfig> drift_config_of(const FieldTexts& texts);
[[nodiscard]] Result<bench::RunDownConfig> run_down_config_of(const FieldTexts& texts);

}  // namespace skedlark::gui
