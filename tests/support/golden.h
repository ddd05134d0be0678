// Compares a table with a stored one, each column within its own tolerance.
//
// Stage:   tests. In: golden table, table of now, tolerances. Out: the differences, in words.
// Rules:   columns without a tolerance must be equal as text. "nan" equals only "nan": nothing
//          measured is a state of its own, not a number.
// Errors:  a different shape is a difference; at most ten differences are told.
// Threads: none.
// Checked: tests/support/golden_test.cpp
#pragma once

#include <map>
#include <string>
#include <vector>

#include "tests/support/csv.h"

namespace skedlark::support {

// Column name -> largest allowed |now - golden|, in the column's unit.
using Tolerances = std::map<std::string, double>;

// Empty where the tables agree.
[[nodiscard]] std::vector<std::string> golden_differences(const CsvTable& golden,
                                                          const CsvTable& now,
                                                          const Tolerances& tolerances);

}  // namespace skedlark::support
