// Comma-separated tables: what a study measured, and what a golden test compares.
//
// Stage:   tests. First row: column names with their units. Numbers with a stated number of digits,
//          "nan" where there is none. Lines that begin with '#' say how the table was made.
// Shape:   all rows have as many cells as the header.
// Errors:  Result with the file's name and line.
// Threads: none.
// Checked: tests/support/csv_test.cpp
#pragma once

#include <string>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::support {

class CsvTable {
 public:
    explicit CsvTable(std::vector<std::string> columns) : columns_(std::move(columns)) {}

    void add_note(std::string note) { notes_.push_back(std::move(note)); }
    // Asserts that the row has a cell for every column.
    void add_row(std::vector<std::string> cells);

    [[nodiscard]] const std::vector<std::string>& columns() const { return columns_; }
    [[nodiscard]] const std::vector<std::vector<std::string>>& rows() const { return rows_; }

    [[nodiscard]] std::string text() const;
    // Written beside the file first and then moved into place: a study cut short leaves the old
    // table.
    [[nodiscard]] Status write(const std::string& path) const;
    [[nodiscard]] static Result<CsvTable> parse(const std::string& text, const std::string& name);
    [[nodiscard]] static Result<CsvTable> read(const std::string& path);

 private:
    std::vector<std::string> columns_;
    std::vector<std::string> notes_;
    std::vector<std::vector<std::string>> rows_;
};

// A number as a cell, with this many digits after the point.
[[nodiscard]] std::string cell(double value, int digits);
[[nodiscard]] std::string cell(long value);

}  // namespace skedlark::support
