// The steps of a test in plain words: what to connect, what to set, what is recorded.
//
// Stage:   gui/bench, no Qt. In: a test and what was typed. Out: its steps in order.
// Units:   seconds.
// Shape:   the last step is the result; only the peak meter has none.
// Errors:  those of bench_fields.h: levels that do not rise, none named.
// Threads: pure.
// Source:  none
// Checked: tests/desk/bench/bench_steps_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/core/result.h"
#include "gui/bench/bench_kinds.h"

namespace skedlark::gui {

enum class StepKind {
    look,    // connect, set, read
    record,  // listens for so many seconds
    run,     // listens until it is stopped
    result,
};

struct BenchStep {
    std::string id;  // of its recording; the same step has it whatever the others are
    std::string title;
    std::string words;
    std::string caution{};
    StepKind kind = StepKind::look;
    double seconds = 0.0;
    bool may_skip = false;
};

[[nodiscard]] Result<std::vector<BenchStep>> steps_of(const BenchKind& kind,
                                                      const FieldTexts& texts);

}  // namespace skedlark::gui
