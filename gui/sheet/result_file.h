// JSON Lines of skedlark read and sorted: of which verb they are, and what belongs to one input.
//
// Stage:   gui/sheet. In: text of one or several files. Out: Results.
// Units:   as docs/file-formats.md.
// Shape:   64 MiB a file at most; blank lines count for nothing; unknown events are kept, not minded.
// Errors:  damaged, naming file, line and what stands there; invalid_value where results of two kinds are
//          mixed or there is none; those of reading a file.
// Threads: none.
// Source:  docs/file-formats.md
// Checked: tests/desk/sheet/result_file_test.cpp
#pragma once

#include <nlohmann/json.hpp>
#include <string>
#include <string_view>
#include <vector>

#include "dsp/core/result.h"
#include "gui/sheet/json_view.h"

namespace skedlark::gui {

enum class ResultKind { fist, bench, copy, sweep, drill, log };
[[nodiscard]] std::string_view name_of(ResultKind kind);  // the verb

struct ResultLine {
    nlohmann::json json{};
    std::string where{};  // "a.json:3"
    std::string event{};
    [[nodiscard]] JsonView view() const { return {json, where}; }
};

// Lines from one "input" to the next; before the first one, or without any, the name is empty.
struct ResultInput {
    std::string name{};
    std::vector<ResultLine> lines{};
    [[nodiscard]] std::vector<const ResultLine*> events(std::string_view event) const;
    // The last of its kind, or null.
    [[nodiscard]] const ResultLine* last(std::string_view event) const;
};

struct Results {
    ResultKind kind = ResultKind::fist;
    std::vector<ResultInput> inputs{};  // those with a result in them
};

[[nodiscard]] Result<std::vector<ResultLine>> parse_result_lines(std::string_view text,
                                                                 const std::string& file);
[[nodiscard]] Result<Results> sorted_results(std::vector<ResultLine> lines,
                                             const std::string& files);
// "-": standard input, once.
[[nodiscard]] Result<Results> read_results(const std::vector<std::string>& paths);

}  // namespace skedlark::gui
