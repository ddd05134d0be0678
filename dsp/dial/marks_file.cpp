#include "dsp/dial/marks_file.h"

#include <fmt/format.h>

#include <optional>
#include <utility>

#include "dsp/core/csv.h"
#include "dsp/core/text_file.h"
#include "dsp/dial/receiver.h"

namespace skedlark::dial {
namespace {

constexpr std::size_t kMaxBytes = 1000000;
constexpr double kLatestS = 1e6;

std::optional<DialMark> mark_of(std::string_view line) {
    const auto fields = csv::fields_of(line);
    if (fields.size() != 2) return std::nullopt;
    const auto at_s = csv::number(fields[0]);
    const auto div = csv::number(fields[1]);
    if (!at_s || !div) return std::nullopt;
    return DialMark{*at_s, *div};
}

}  // namespace

Result<std::vector<DialMark>> parse_marks(std::string_view text, const std::string& name) {
    std::vector<DialMark> marks;
    bool begun = false;
    const Status read = csv::each_line(text, [&](std::string_view line, int at) -> Status {
        if (!std::exchange(begun, true) && csv::fields_of(line)[0] == "seconds") return Done{};
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
        return Done{};
    });
    if (!read) return read.error();
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
