// Results of the bench as they were measured: figures with their limits, events, curves, remarks.
//
// Stage:   gui/sheet. In: Results of bench. Out: BenchTest, one a test and input, in their order.
// Units:   in the names of the measurements.
// Shape:   the judgement is the result's own, not made anew.
// Errors:  throws BadResult.
// Threads: none.
// Source:  docs/file-formats.md
// Checked: tests/desk/sheet/bench_result_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/bench/limits.h"
#include "gui/sheet/result_file.h"

namespace skedlark::gui {

struct BenchRow {
    bench::Measurement measured{};
    std::optional<bench::Limit> limit{};
    bench::Judgement judgement{};

    // "pass", "FAIL, close", "not settled"; a dash where there is no limit.
    [[nodiscard]] std::string verdict() const;
    [[nodiscard]] bool kept() const { return !limit || judgement.pass.value_or(false); }
};

struct BenchTest {
    std::string test{};
    std::string input{};
    std::string chain{};
    double seconds = 0.0;
    bool complete = false;  // its last line is there
    std::vector<BenchRow> rows{};
    std::vector<bench::Occurrence> occurrences{};
    std::vector<bench::Curve> curves{};
    std::vector<std::string> notes{};

    [[nodiscard]] std::vector<bench::Measurement> measurements() const;
    // The first of that name, or null.
    [[nodiscard]] const BenchRow* row(std::string_view name) const;
};

[[nodiscard]] std::vector<BenchTest> bench_tests(const Results& results);
// "Steady tone" for "tone".
[[nodiscard]] std::string test_in_words(const std::string& test);

}  // namespace skedlark::gui
