// A field of a result, asked for by name: what is wrong with it is said with file, line and field.
//
// Stage:   gui/sheet. In: JSON of one line. Out: numbers, texts, lists.
// Units:   as the fields.
// Shape:   "where" is file and line, then the way to the field: "a.json:3: timing.dot_ms".
// Errors:  throws BadResult, which make_sheet() turns into an Error: a sheet is made whole or not at all.
// Threads: none.
// Source:  docs/file-formats.md; null is "not measured" there
// Checked: tests/desk/sheet/json_view_test.cpp
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace skedlark::gui {

struct BadResult : std::runtime_error {
    using std::runtime_error::runtime_error;
};

class JsonView {
 public:
    JsonView(const nlohmann::json& json, std::string where)
        : json_(&json), where_(std::move(where)) {}

    // Of an object. NaN, "" and the like where it is null or not there.
    [[nodiscard]] double number(const std::string& name) const;
    [[nodiscard]] double needed(const std::string& name) const;
    [[nodiscard]] std::string text(const std::string& name) const;
    [[nodiscard]] std::string needed_text(const std::string& name) const;
    [[nodiscard]] std::optional<bool> truth(const std::string& name) const;
    [[nodiscard]] std::optional<JsonView> object(const std::string& name) const;
    [[nodiscard]] std::vector<JsonView> list(const std::string& name) const;
    [[nodiscard]] std::vector<std::pair<std::string, JsonView>> members(
        const std::string& name) const;
    [[nodiscard]] bool has(const std::string& name) const;

    // Of an item of a list.
    [[nodiscard]] std::size_t size() const { return json_->size(); }
    [[nodiscard]] double number_at(std::size_t at) const;
    [[nodiscard]] std::string text_at(std::size_t at) const;
    [[nodiscard]] double as_number() const;
    [[nodiscard]] std::string as_text() const;

    [[nodiscard]] const std::string& where() const { return where_; }
    [[noreturn]] void refuse(const std::string& why) const { throw BadResult(where_ + ": " + why); }

 private:
    [[nodiscard]] const nlohmann::json* find(const std::string& name) const;
    [[nodiscard]] JsonView part(const nlohmann::json& json, const std::string& name) const;
    [[noreturn]] void wrong(const std::string& wanted) const;

    const nlohmann::json* json_;
    std::string where_;
    bool inside_ = false;  // of a field: the way to it goes on with a dot
};

}  // namespace skedlark::gui
