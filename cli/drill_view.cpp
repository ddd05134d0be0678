#include "cli/drill_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string_view>

#include "dsp/morse/code_table.h"

namespace skedlark::cli {

namespace {

using Json = nlohmann::ordered_json;
using fist::CopyMark;

constexpr std::size_t kColumns = 80;
constexpr std::size_t kLabel = 7;  // "typed  "
constexpr std::size_t kPairsShown = 10;

std::string dumped(const Json& line) {
    return line.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::size_t width_of(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
    }));
}

// Signs that are also procedure signals are shown as these.
std::string shown(const std::string& name) {
    if (name == "=") return "[BT]";
    if (name == "+") return "[AR]";
    if (name == "(") return "[KN]";
    if (morse::find_by_text(name) == nullptr && morse::find_by_text(name, true) != nullptr) {
        return "[" + name + "]";
    }
    return name;
}

std::string padded(const std::string& text, std::size_t width) {
    const std::size_t has = width_of(text);
    return has < width ? text + std::string(width - has, ' ') : text;
}

std::string_view sign_of(CopyMark mark) {
    switch (mark) {
        case CopyMark::right:
        case CopyMark::gap_right:
            return " ";
        case CopyMark::wrong:
            return "x";
        case CopyMark::open:
            return "_";
        case CopyMark::missing:
            return "-";
        case CopyMark::extra:
            return "+";
        case CopyMark::gap_missing:
        case CopyMark::gap_extra:
            return "|";
    }
    return " ";
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

std::string without_end(std::string line) {
    line.erase(line.find_last_not_of(' ') + 1);
    return line;
}

// Three lines a row: as sent, as typed, what is wrong.
class Rows {
 public:
    void add(const fist::CopyStep& step) {
        const std::string above = shown(step.sent);
        const std::string below = shown(step.typed);
        const std::size_t width = std::max({width_of(above), width_of(below), std::size_t{1}});
        if (used_ + width > kColumns - kLabel) end();
        sent_ += padded(above, width);
        typed_ += padded(below, width);
        marks_ += padded(std::string(sign_of(step.mark)), width);
        used_ += width;
        // A word is not torn where the row is nearly full.
        if (step.sent == " " && used_ > kColumns - kLabel - 12) end();
    }
    std::string take() {
        end();
        return std::move(out_);
    }

 private:
    void end() {
        if (used_ == 0) return;
        out_ += without_end("sent   " + sent_) + "\n" + without_end("typed  " + typed_) + "\n" +
                without_end("       " + marks_) + "\n";
        sent_.clear();
        typed_.clear();
        marks_.clear();
        used_ = 0;
    }

    std::string out_;
    std::string sent_, typed_, marks_;
    std::size_t used_ = 0;
};

std::string counts_text(const fist::CopyScore& score) {
    return fmt::format(
        "{} of {} characters right ({:.0f} %): {} wrong, {} left open, {} missing,\n"
        "{} put in; {} of {} gaps between words right, {} put in.\n",
        score.right, score.sent, 100.0 * score.right_share(), score.wrong, score.open,
        score.missing, score.extra, score.gaps_right, score.gaps_sent, score.gaps_extra);
}

std::string pairs_text(const fist::CopyScore& score) {
    std::string out;
    for (std::size_t i = 0; i < std::min(kPairsShown, score.pairs.size()); ++i) {
        const fist::ConfusionPair& pair = score.pairs[i];
        out += fmt::format("{} was typed for {}: {}\n", shown(pair.typed), shown(pair.sent),
                           pair.count == 1 ? "once" : fmt::format("{} times", pair.count));
    }
    if (score.pairs.size() > kPairsShown) {
        out += fmt::format("and {} other pairs\n", score.pairs.size() - kPairsShown);
    }
    return out;
}

std::string next_text(const MarkedCopy& marked) {
    if (marked.next_wpm && marked.next_groups_a_minute) {
        return fmt::format(
            "Take {:.1f} wpm next ({:.1f} groups a minute of this text): about nine in ten\n"
            "should be right then.\n",
            *marked.next_wpm, *marked.next_groups_a_minute);
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
    Rows rows;
    for (const fist::CopyStep& step : marked.score.steps) rows.add(step);
    std::string out = rows.take();
    out += "x wrong, _ left open, - missing, + put in, | gap between words\n\n";
    return out + counts_text(marked.score) + pairs_text(marked.score) + next_text(marked);
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
    return dumped(line);
}

}  // namespace skedlark::cli
