// Results of the bench kept in the log, and two of them compared: before and after a repair.
//
// Stage:   log. In: bench::Sheet; entries of the log. Out: an entry of the kind bench; changes, short texts.
// Units:   those of the measurements' names.
// Shape:   in the entry a measurement is called TEST.NAME, as in a limits file; " (WHERE)" follows where
//          there are several, " (at most)" or " (at least)" where it is a bound.
// Errors:  comparing: invalid_value where the entries are no sheets of the same test.
// Threads: pure.
// Source:  none
// Checked: tests/dsp/log/bench_entry_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/bench/change.h"
#include "dsp/bench/sheet.h"
#include "dsp/core/result.h"
#include "dsp/log/entry.h"

namespace skedlark::log {

// facts: who, receiver, input, when it began. kept: the test's own verdict.
[[nodiscard]] Entry bench_entry(Entry facts, const bench::Sheet& sheet, bool kept);

// "" where the entry is no sheet of the bench.
[[nodiscard]] std::string bench_test_of(const Entry& entry);
// Its figures as they were measured, as far as the log keeps them.
[[nodiscard]] std::vector<bench::Measurement> bench_measurements(const Entry& entry);

struct BenchChanges {
    std::string test{};
    Entry before{};
    Entry after{};
    std::vector<bench::Change> changes{};
};
[[nodiscard]] Result<BenchChanges> compare_bench(const Entry& before, const Entry& after);

// "CHANGED", "not changed", "cannot be told", "only in one".
[[nodiscard]] const char* verdict_of(const bench::Change& change);
// A figure, "not there", or "n/a" where the log holds no number.
[[nodiscard]] std::string side_text(const std::optional<bench::Measurement>& measurement);

}  // namespace skedlark::log
