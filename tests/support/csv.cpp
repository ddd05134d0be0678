#include "tests/support/csv.h"

#include <fmt/format.h>

#include <cassert>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <sstream>

namespace skedlark::support {
namespace {

// Cells with a comma, a quote or a line end are quoted, quotes doubled (RFC 4180).
std::string quoted(const std::string& text) {
    if (text.find_first_of(",\"\n\r") == std::string::npos) return text;
    std::string out = "\"";
    for (const char c : text) {
        if (c == '"') out += '"';
        out += c;
    }
    return out + '"';
}

std::string joined(const std::vector<std::string>& cells) {
    std::string line;
    for (std::size_t i = 0; i < cells.size(); ++i) {
        if (i > 0) line += ',';
        line += quoted(cells[i]);
    }
    return line + '\n';
}

std::vector<std::string> split(const std::string& line) {
    std::vector<std::string> cells(1);
    bool in_quotes = false;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const char c = line[i];
        if (c == '"' && in_quotes && i + 1 < line.size() && line[i + 1] == '"') {
            cells.back() += '"';
            ++i;
        } else if (c == '"') {
            in_quotes = !in_quotes;
        } else if (c == ',' && !in_quotes) {
            cells.emplace_back();
        } else {
            cells.back() += c;
        }
    }
    return cells;
}

}  // namespace

void CsvTable::add_row(std::vector<std::string> cells) {
    assert(cells.size() == columns_.size());
    rows_.push_back(std::move(cells));
}

std::string CsvTable::text() const {
    std::string out;
    for (const std::string& note : notes_) out += "# " + note + '\n';
    out += joined(columns_);
    for (const auto& row : rows_) out += joined(row);
    return out;
}

Status CsvTable::write(const std::string& path) const {
    const std::string part = path + ".part";
    {
        std::ofstream file(part, std::ios::binary | std::ios::trunc);
        file << text();
        file.flush();
        if (!file)
            return Error{ErrorCode::write_failed, fmt::format("{}: cannot be written", part)};
    }
    if (std::rename(part.c_str(), path.c_str()) != 0) {
        return Error{ErrorCode::write_failed, fmt::format("{}: cannot be moved into place", path)};
    }
    return Done{};
}

Result<CsvTable> CsvTable::parse(const std::string& text, const std::string& name) {
    CsvTable table({});
    std::istringstream lines(text);
    std::string line;
    for (int number = 1; std::getline(lines, line); ++number) {
        if (!line.empty() && line.back() == '\r') line.pop_back();
        if (line.empty()) continue;
        if (line[0] == '#') {
            table.notes_.push_back(line.substr(std::min<std::size_t>(2, line.size())));
        } else if (table.columns_.empty()) {
            table.columns_ = split(line);
        } else {
            std::vector<std::string> cells = split(line);
            if (cells.size() != table.columns_.size()) {
                return Error{ErrorCode::damaged,
                             fmt::format("{}:{}: {} cells, the header has {}", name, number,
                                         cells.size(), table.columns_.size())};
            }
            table.rows_.push_back(std::move(cells));
        }
    }
    if (table.columns_.empty()) return Error{ErrorCode::damaged, name + ": no header line"};
    return table;
}

Result<CsvTable> CsvTable::read(const std::string& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file) return Error{ErrorCode::not_found, path + ": cannot be read"};
    std::ostringstream text;
    text << file.rdbuf();
    return parse(text.str(), path);
}

std::string cell(double value, int digits) {
    if (std::isnan(value)) return "nan";
    return fmt::format("{:.{}f}", value, digits);
}

std::string cell(long value) { return fmt::format("{}", value); }

}  // namespace skedlark::support
