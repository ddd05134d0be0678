// The parts of the study of sending, a table each.
//
// Stage:   tests. In: seeds, SNR, hands. Out: CSV tables.
// Errors:  not_found: no part of that name.
// Threads: none.
// Checked: the smoke test of fist_study
#pragma once

#include <string>

#include "dsp/core/result.h"
#include "tests/accuracy/fist/sendings.h"
#include "tests/support/csv.h"

namespace skedlark::study {

struct FistStudy {
    int seeds = 20;
    std::uint64_t first_seed = 1000;
    double snr_db = 10.0;
    int groups = 40;
    std::string hand{};   // empty: all
    std::string cause{};  // empty: all
    bool text_known = false;
    bool list = false;
};

[[nodiscard]] Result<support::CsvTable> run_part(const std::string& name, const FistStudy& study);

// Each part.
[[nodiscard]] support::CsvTable alignment_table(const FistStudy& study);
[[nodiscard]] support::CsvTable faults_table(const FistStudy& study);
[[nodiscard]] support::CsvTable score_table(const FistStudy& study);
[[nodiscard]] support::CsvTable measure_table(const FistStudy& study);
[[nodiscard]] support::CsvTable time_table(const FistStudy& study);

}  // namespace skedlark::study
