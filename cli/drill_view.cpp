#include "cli/drill_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string_view>

#include "dsp/fist/copy_words.h"

namespace skedlark::cli {

namespace {

using Json = nlohmann::ordered_json;
using fist::CopyMark;

constexpr std::size_t kColumns = 80;
constexpr std::size_t kPairsShown = 10;

std::string dumped(const Json& line) {
    return line.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::size_t width_of(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
    }));
}

std::string_view name_of(CopyMark mark) {
    switch (mark) {
        case CopyMark::right:
            return "right";
        case CopyMark::wrong:
            return "wrong";
        case CopyMark::open:
            return "open";
        case CopyMark::missing:
            return "missing";
        case CopyMark::extra:
            return "extra";
        case CopyMark::gap_right:
            return "gap_right";
        case CopyMark::gap_missing:
            return "gap_missing";
        case CopyMark::gap_extra:
            return "gap_extra";
    }
    return "";
}

std::string next_text(const MarkedCopy& marked) {
    if (marked.next_wpm && marked.next_level) {
        return fmt::format(
            "Take level {:.1f} next ({:.1f} wpm, was {:.1f}): about nine in ten should be right\n"
            "then.\n",
            *marked.next_level, *marked.next_wpm, marked.speed_wpm.value_or(0.0));
    }
    const double percent = 100.0 * (marked.speed_ratio - 1.0);
    if (std::abs(percent) < 0.5) return "Keep this speed: about nine in ten are right.\n";
    return fmt::format("Go {:.0f} % {} next: about nine in ten should be right then.\n",
                       std::abs(percent), percent > 0.0 ? "faster" : "slower");
}

double rounded(double value, double step) { return std::round(value / step) * step; }

Json optional(const std::optional<double>& value) {
    return value ? Json(rounded(*value, 0.01)) : Json(nullptr);
}

}  // namespace

std::string exercise_lines(const std::string& text) {
    std::string out;
    std::string line;
    std::istringstream words(text);
    for (std::string word; words >> word;) {
        if (!line.empty() && width_of(line) + 1 + width_of(word) > kColumns) {
            out += line + "\n";
            line.clear();
        }
        line += (line.empty() ? "" : " ") + word;
    }
    return line.empty() ? out : out + line + "\n";
}

std::string json_line(const Exercise& exercise) {
    Json line{{"event", "exercise"},
              {"kind", exercise.kind},
              {"count", exercise.count},
              {"seed", exercise.seed}};
    const bool keyed = !exercise.file.empty();
    line["text"] = keyed ? Json(nullptr) : Json(exercise.text);
    line["file"] = keyed ? Json(exercise.file) : Json(nullptr);
    line["text_file"] = keyed ? Json(exercise.text_file) : Json(nullptr);
    line["speed_wpm"] = keyed ? Json(exercise.speed_wpm) : Json(nullptr);
    line["earlier"] = exercise.earlier;
    return dumped(line);
}

std::string marked_text(const MarkedCopy& marked) {
    return fist::marked_rows(marked.score, kColumns) + fist::signs_in_words() + "\n" +
           fist::counts_in_words(marked.score) + fist::pairs_in_words(marked.score, kPairsShown) +
           next_text(marked);
}

std::string json_line(const MarkedCopy& marked) {
    const fist::CopyScore& score = marked.score;
    Json line{{"event", "marked"},  {"answer", marked.answer},  {"sent_file", marked.sent_file},
              {"sent", score.sent}, {"right", score.right},     {"wrong", score.wrong},
              {"open", score.open}, {"missing", score.missing}, {"extra", score.extra}};
    line["right_share"] = rounded(score.right_share(), 0.0001);
    line["gaps"] = {
        {"sent", score.gaps_sent}, {"right", score.gaps_right}, {"extra", score.gaps_extra}};
    line["pairs"] = Json::array();
    for (const fist::ConfusionPair& pair : score.pairs) {
        line["pairs"].push_back(
            {{"sent", pair.sent}, {"typed", pair.typed}, {"count", pair.count}});
    }
    line["characters"] = Json::array();
    for (const fist::CopyStep& step : score.steps) {
        line["characters"].push_back(
            {{"mark", name_of(step.mark)}, {"sent", step.sent}, {"typed", step.typed}});
    }
    line["speed_wpm"] = optional(marked.speed_wpm);
    line["speed_ratio"] = rounded(marked.speed_ratio, 0.001);
    line["next_wpm"] = optional(marked.next_wpm);
    line["next_groups_a_minute"] = optional(marked.next_groups_a_minute);
    line["level"] = optional(marked.level);
    line["next_level"] = optional(marked.next_level);
    return dumped(line);
}

}  // namespace skedlark::cli
