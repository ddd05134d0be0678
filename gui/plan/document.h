// A plan or receiver file as it is edited: its tables as texts, checked by the file's own reader.
//
// Stage:   gui/plan, no Qt. In: TOML text, texts typed into fields. Out: TOML text; what is wrong where.
// Shape:   a list of entries in the order of the file; a table within another follows it. An empty
//          text is left out of the file. Remarks of a file are not kept.
// Errors:  document_of(): text that is no TOML. Everything else is a Problem with its field.
// Threads: all functions are pure.
// Source:  none
// Checked: tests/desk/plan/document_test.cpp
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::gui {

enum class FieldKind {
    text,
    number,
    moment,  // date and time of UTC
    day,
    days,    // parted by blanks
    texts,   // parted by semicolons; a lone one: an empty list
    points,  // a line each: division and megahertz
};

struct FieldInfo {
    const char* key;
    const char* label;
    FieldKind kind = FieldKind::text;
    const char* example = "";  // a good value, shown where the field is empty
};

struct SectionInfo {
    const char* table;    // "" for what stands at the head of the file
    const char* heading;  // "contact"
    bool many = true;
    const char* within = "";  // the table it belongs to
    std::vector<FieldInfo> fields{};
};

struct Schema {
    const char* what;    // "plan"
    const char* header;  // written first
    std::vector<SectionInfo> sections;
    std::function<Status(const std::string& toml, const std::string& name)> check;
};
[[nodiscard]] const Schema& plan_schema();
[[nodiscard]] const Schema& receiver_schema();

struct Entry {
    std::size_t section = 0;
    std::map<std::string, std::string> values{};

    [[nodiscard]] std::string value(const std::string& key) const {
        const auto found = values.find(key);
        return found != values.end() ? found->second : "";
    }
};
using Document = std::vector<Entry>;

struct Problem {
    std::optional<std::size_t> entry{};  // empty: of the whole file
    std::string key{};
    std::string said{};  // "-5; allowed: 100 to 60000 kHz"
};

[[nodiscard]] Result<Document> document_of(const Schema& schema, const std::string& toml,
                                           const std::string& name);
// The entries every file has, empty.
[[nodiscard]] Document new_document(const Schema& schema);
[[nodiscard]] std::string toml_of(const Schema& schema, const Document& document);
// Each field that is wrong once; empty: the file can be saved.
[[nodiscard]] std::vector<Problem> problems_of(const Schema& schema, const Document& document);

// Where a new entry of the section goes, with `chosen` at hand.
[[nodiscard]] std::size_t place_for(const Schema& schema, const Document& document,
                                    std::size_t section, std::size_t chosen);
// Behind an entry and what lies within it.
[[nodiscard]] std::size_t end_of(const Schema& schema, const Document& document, std::size_t entry);
// "contact evening", "fallback after 30"
[[nodiscard]] std::string title_of(const Schema& schema, const Entry& entry);

}  // namespace skedlark::gui
