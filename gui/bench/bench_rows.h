// Results and changes as rows of text: figure, uncertainty, limit, and the verdict in words.
//
// Stage:   gui/bench, no Qt. In: a sheet, changes, likely places. Out: rows.
// Units:   as the figures'.
// Errors:  none.
// Threads: pure.
// Source:  none
// Checked: tests/desk/bench/bench_rows_test.cpp
#pragma once

#include <span>
#include <string>
#include <vector>

#include "dsp/bench/fault_guide.h"
#include "dsp/bench/sheet.h"
#include "dsp/log/bench_entry.h"

namespace skedlark::gui {

struct ResultRow {
    std::string what;
    std::string value;    // "20.04 ± 0.15 dB"
    std::string limit;    // "at least 12, our own"; "" none
    std::string verdict;  // "pass", "FAIL", "pass, close", "not settled"; "" none
};
[[nodiscard]] std::vector<ResultRow> result_rows(const bench::Sheet& sheet);
// The whole in one line: "All limits kept.", "2 limits missed.", "No limit stands for these figures."
[[nodiscard]] std::string verdict_words(const bench::Sheet& sheet, bool kept);

struct ChangeRow {
    std::string what;
    std::string before;
    std::string after;
    std::string change;  // "+9.88 ± 0.30 dB"; "" where there is none
    std::string verdict;
};
[[nodiscard]] std::vector<ChangeRow> change_rows(const log::BenchChanges& changes);

// The likely places in order with what speaks for them; the cautions; the guide itself. `symptom`: which.
[[nodiscard]] std::string places_words(std::span<const bench::Sheet> sheets);
[[nodiscard]] std::string guide_words();

}  // namespace skedlark::gui
