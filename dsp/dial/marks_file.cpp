#include "dsp/dial/marks_file.h"

#include <fmt/format.h>

#include <charconv>
#include <optional>

#include "dsp/core/text_file.h"
#include "dsp/dial/receiver.h"

namespace skedlark::dial {
namespace {

constexpr std::size_t kMaxBytes = 1000000;
constexpr double kLatestS = 1e6;

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view kBlank = " \t\r\"";
    const std::size_t from = text.find_first_not_of(kBlank);
    if (from == std::string_view::npos) return {};
    return text.substr(from, text.find_last_not_of(kBlank) - from + 1);
}

std::optional<double> number(std::string_view text) {
    text = trimmed(text);
    double value = 0.0;
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
    return value;
}

std::optional<DialMark> mark_of(std::string_view line) {
    const std::size_t comma = line.find(',');
    if (comma == std::string_view::npos) return std::nullopt;
    const auto at_s = number(line.substr(0, comma));
    const auto div = number(line.substr(comma + 1));
    if (!at_s || !div) return std::nullopt;
    return DialMark{*at_s, *div};
}

// Letters in both cells: the names of the columns.
bool is_heading(std::string_view line) {
    const std::size_t comma = line.find(',');
    return comma != std::string_view::npos && !number(line.substr(0, comma)) &&
           !number(line.substr(comma + 1)) && trimmed(line.substr(0, comma)) == "seconds";
}

}  // namespace

Result<std::vector<DialMark>> parse_marks(std::string_view csv, const std::string& name) {
    std::vector<DialMark> marks;
    bool begun = false;
    for (int at = 1; !csv.empty(); ++at) {
        const std::size_t end = std::min(csv.find('\n'), csv.size());
        const std::string_view line = trimmed(csv.substr(0, end));
        csv.remove_prefix(std::min(end + 1, csv.size()));
        if (line.empty() || line.front() == '#') continue;
        const bool heading = !begun && is_heading(line);
        begun = true;
        if (heading) continue;
        const auto mark = mark_of(line);
        if (!mark) {
            return Error{ErrorCode::damaged,
                         fmt::format("{}:{}: '{}', allowed two numbers: seconds,division", name, at,
                                     line.substr(0, 60))};
        }
        if (!(mark->at_s >= 0.0 && mark->at_s <= kLatestS)) {
            return Error{
                ErrorCode::invalid_value,
                fmt::format("{}:{}: seconds: {}, allowed 0 to {}", name, at, mark->at_s, kLatestS)};
        }
        if (!(mark->div >= kMinDiv && mark->div <= kMaxDiv)) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("{}:{}: division: {}, allowed {} to {}", name, at, mark->div,
                                     kMinDiv, kMaxDiv)};
        }
        if (!marks.empty() && !(mark->at_s > marks.back().at_s)) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("{}:{}: seconds: {}, allowed above the {} of the mark before",
                                     name, at, mark->at_s, marks.back().at_s)};
        }
        marks.push_back(*mark);
    }
    if (marks.size() < 2) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{}: {} mark{}, allowed 2 or more", name, marks.size(),
                                 marks.size() == 1 ? "" : "s")};
    }
    return marks;
}

Result<std::vector<DialMark>> read_marks(const std::string& path) {
    const Result<std::string> text = read_text_file(path, kMaxBytes);
    if (!text) return text.error();
    return parse_marks(*text, path);
}

}  // namespace skedlark::dial
