// Entries of the log as a table, in full, as JSON Lines and as CSV.
//
// Stage:   cli. In: log::Entry. Out: text.
// Units:   in the names of fields and columns; times in UTC.
// Shape:   tables of at most 80 columns; CSV as in RFC 4180, one line an entry.
// Errors:  none.
// Threads: none.
// Checked: tests/cli/log_view_test.cpp, log_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/log/entry.h"
#include "dsp/log/stretch_levels.h"

namespace skedlark::cli {

[[nodiscard]] std::string entry_table(const std::vector<log::Entry>& entries);
[[nodiscard]] std::string entry_text(const log::Entry& entry);
[[nodiscard]] std::string json_line(const log::Entry& entry);
[[nodiscard]] std::string csv_of(const std::vector<log::Entry>& entries);

struct Stretch {
    double from_s = 0.0;
    double to_s = 0.0;
};
struct ComparisonResult {
    std::string input{};
    double pitch_hz = 0.0;
    Stretch first{};
    Stretch second{};
    log::StretchComparison levels{};
};
[[nodiscard]] std::string comparison_text(const ComparisonResult& result);
[[nodiscard]] std::string json_line(const ComparisonResult& result);

// At most so many columns; what is cut off is shown by "...". No UTF-8 character is torn.
[[nodiscard]] std::string cut_to(const std::string& text, std::size_t columns);

}  // namespace skedlark::cli
