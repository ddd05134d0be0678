#include "gui/sheet/result_file.h"

#include <algorithm>
#include <array>
#include <optional>

#include "dsp/core/text_file.h"

namespace skedlark::gui {
namespace {

constexpr std::size_t kLongest = 64U << 20U;
constexpr const char* kAllowed =
    "allowed: what skedlark fist, bench, copy, sweep and drill print with --json, and skedlark log "
    "--json --kind practice or bench";

std::string beginning(std::string_view line) {
    std::string shown;
    for (const char c : line.substr(0, 40)) {
        shown +=
            static_cast<unsigned char>(c) < 0x20 || static_cast<unsigned char>(c) > 0x7e ? '?' : c;
    }
    return line.size() > 40 ? shown + "..." : shown;
}

// Empty: the line does not tell.
std::optional<ResultKind> kind_of(const ResultLine& line) {
    static const std::pair<std::string_view, ResultKind> kEvents[] = {
        {"keying", ResultKind::fist},      {"measurement", ResultKind::bench},
        {"occurrence", ResultKind::bench}, {"curve", ResultKind::bench},
        {"bench", ResultKind::bench},      {"char", ResultKind::copy},
        {"station", ResultKind::sweep},    {"sweep", ResultKind::sweep},
        {"exercise", ResultKind::drill},   {"marked", ResultKind::drill},
        {"entry", ResultKind::log}};
    if (line.event == "summary") {
        return line.json.contains("score") ? ResultKind::fist : ResultKind::copy;
    }
    const auto* found = std::find_if(std::begin(kEvents), std::end(kEvents),
                                     [&](const auto& one) { return one.first == line.event; });
    if (found == std::end(kEvents)) return std::nullopt;
    return found->second;
}

Result<std::string> text_of(const std::string& path) {
    const bool standard_input = path == "-";
    auto text = read_text_file(standard_input ? "/dev/stdin" : path, kLongest);
    if (text || !standard_input) return text;
    return Error{text.error().code, "standard input: cannot be read"};
}

}  // namespace

std::string_view name_of(ResultKind kind) {
    constexpr std::array<std::string_view, 6> kNames = {"fist",  "bench", "copy",
                                                        "sweep", "drill", "log"};
    return kNames[static_cast<std::size_t>(kind)];
}

std::vector<const ResultLine*> ResultInput::events(std::string_view event) const {
    std::vector<const ResultLine*> found;
    for (const ResultLine& line : lines) {
        if (line.event == event) found.push_back(&line);
    }
    return found;
}

const ResultLine* ResultInput::last(std::string_view event) const {
    const auto all = events(event);
    return all.empty() ? nullptr : all.back();
}

Result<std::vector<ResultLine>> parse_result_lines(std::string_view text, const std::string& file) {
    std::vector<ResultLine> lines;
    int number = 0;
    while (!text.empty()) {
        const std::size_t end = std::min(text.find('\n'), text.size());
        const std::string_view line = text.substr(0, end);
        text.remove_prefix(std::min(end + 1, text.size()));
        ++number;
        if (line.find_first_not_of(" \t\r") == std::string_view::npos) continue;
        ResultLine one;
        one.where = file + ":" + std::to_string(number);
        one.json = nlohmann::json::parse(line, nullptr, false);
        if (!one.json.is_object() || !one.json.contains("event") ||
            !one.json["event"].is_string()) {
            return Error{ErrorCode::damaged, one.where + ": '" + beginning(line) +
                                                 "' is no event of JSON Lines; " + kAllowed};
        }
        one.event = one.json["event"].get<std::string>();
        lines.push_back(std::move(one));
    }
    return lines;
}

Result<Results> sorted_results(std::vector<ResultLine> lines, const std::string& files) {
    Results results;
    std::optional<ResultKind> kind;
    bool has_result = true;
    const auto close = [&] {
        if (!has_result) results.inputs.pop_back();
    };
    for (ResultLine& line : lines) {
        if (line.event == "input" || results.inputs.empty()) {
            close();
            results.inputs.emplace_back();
            has_result = false;
        }
        ResultInput& input = results.inputs.back();
        if (line.event == "input" && line.json.contains("name") && line.json["name"].is_string()) {
            input.name = line.json["name"].get<std::string>();
        }
        if (const auto told = kind_of(line)) {
            if (kind && *told != *kind) {
                return Error{ErrorCode::invalid_value,
                             line.where + ": '" + line.event + "' is of " +
                                 std::string(name_of(*told)) + ", what comes before it of " +
                                 std::string(name_of(*kind)) +
                                 ": a sheet is made of results of one kind"};
            }
            kind = told;
            has_result = true;
        }
        input.lines.push_back(std::move(line));
    }
    close();
    if (!kind) {
        return Error{ErrorCode::invalid_value, files + ": holds no result; " + kAllowed};
    }
    results.kind = *kind;
    return results;
}

Result<Results> read_results(const std::vector<std::string>& paths) {
    std::vector<ResultLine> all;
    std::string names;
    for (const std::string& path : paths) {
        const std::string name = path == "-" ? "standard input" : path;
        const auto text = text_of(path);
        if (!text) return text.error();
        auto lines = parse_result_lines(*text, name);
        if (!lines) return lines.error();
        names += (names.empty() ? "" : ", ") + name;
        std::move(lines->begin(), lines->end(), std::back_inserter(all));
    }
    return sorted_results(std::move(all), names);
}

}  // namespace skedlark::gui
