// One table of a TOML file, read field by field, each with what is allowed.
//
// Stage:   core, a target of its own (dsp::toml). In: a parsed table. Out: checked values; the first thing that is wrong.
// Units:   in the names of the fields.
// Shape:   after an error every further value is the fallback, so that a reader needs no branches.
// Errors:  "plan.toml:12: contact \"evening\": receive_khz: -5; allowed: 100 to 60000 kHz".
// Threads: one.
// Source:  none
// Checked: tests/dsp/core/toml_fields_test.cpp
#pragma once

#include <toml++/toml.h>

#include <functional>
#include <limits>
#include <optional>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/core/utc.h"

namespace skedlark {

// Where the first error of a whole file is kept.
struct TomlProblems {
    std::string file;
    std::optional<Error> first{};

    void add(long line, const std::string& message);
};

// Reads and parses a file of at most 1 MiB; errors name the file and line.
[[nodiscard]] Result<toml::table> parse_toml_file(const std::string& path);
[[nodiscard]] Result<toml::table> parse_toml(std::string_view text, const std::string& file);

struct Allowed {
    double from = 0.0;
    double to = 0.0;
    std::string unit{};
};

class TomlFields {
 public:
    // where: what the table is, such as "contact \"evening\""; may be empty for the whole file.
    TomlFields(const toml::table& table, std::string where, TomlProblems& problems)
        : table_(table), where_(std::move(where)), problems_(problems) {}

    [[nodiscard]] bool has(std::string_view name) const { return table_.contains(name); }
    [[nodiscard]] long line_of(std::string_view name) const;
    [[nodiscard]] long line() const;
    void rename(std::string where) { where_ = std::move(where); }

    // Not empty, at most 200 bytes, no control characters. Without a fallback it must be there.
    std::string text(std::string_view name, std::optional<std::string> fallback = {});
    // Letters, figures and "/", 2 to 12; given back in upper case.
    std::string call(std::string_view name);
    double number(std::string_view name, const Allowed& allowed,
                  std::optional<double> fallback = {});
    // Whole numbers only.
    long whole(std::string_view name, const Allowed& allowed, std::optional<long> fallback = {});
    // With an offset from UTC or Z: a time that leaves it open is refused.
    UtcTime utc(std::string_view name, std::optional<UtcTime> fallback = {});
    std::optional<std::chrono::sys_days> date(std::string_view name);
    std::vector<std::chrono::sys_days> dates(std::string_view name);
    std::vector<std::string> texts(std::string_view name, std::vector<std::string> fallback);
    // Of any size: the range is checked by whoever knows it.
    double any_number(std::string_view name, std::optional<double> fallback = {});
    // [name]; an empty table where there is none.
    const toml::table& table(std::string_view name);
    // nullptr where there is none; that is an error.
    const toml::array* list(std::string_view name);
    // [[name]]; empty where there is none.
    std::vector<const toml::table*> tables(std::string_view name);

    // Something only the reader can know is wrong with a field.
    void refuse(std::string_view name, const std::string& message);
    void refuse_at(const toml::node& node, const std::string& message);
    // Fields nobody asked for are mistakes in writing.
    void refuse_unknown();

 private:
    const toml::node* find(std::string_view name, bool required);

    const toml::table& table_;
    std::string where_;
    TomlProblems& problems_;
    std::set<std::string, std::less<>> asked_;
};

}  // namespace skedlark
