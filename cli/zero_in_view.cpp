#include "cli/zero_in_view.h"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/text_view.h"

namespace skedlark::cli {

namespace {

const char* word(dial::Turn turn) {
    return turn == dial::Turn::here ? "here" : turn == dial::Turn::up ? "up" : "down";
}

}  // namespace

std::string zero_in_line(const watch::ZeroInGuide& guide) {
    const auto advice = guide.advice();
    if (!advice) return fmt::format("nothing heard yet: about {:.2f}, turn slowly", guide.div());
    std::string text = fmt::format("{:.0f} Hz", advice->pitch_hz);
    if (advice->turn == dial::Turn::here) return text + ": here, hold it";
    if (advice->cross)
        return text + fmt::format(", wrong side of zero beat: {} {:.3f}, through zero beat",
                                  word(advice->turn), advice->turn_div);
    text += fmt::format(", {:.0f} too {}: ", std::abs(advice->off_hz),
                        advice->off_hz > 0.0 ? "high" : "low");
    if (!advice->sure) return text + fmt::format("try {}, a little", word(advice->turn));
    return text + fmt::format("{} {:.3f}", word(advice->turn), advice->turn_div);
}

std::string zero_in_json(const std::vector<watch::ZeroInTold>& told, double begins_s) {
    const auto tenths = [](double value) { return std::round(10.0 * value) / 10.0; };
    std::string lines;
    for (const watch::ZeroInTold& one : told) {
        const nlohmann::ordered_json json{
            {"event", "zero_in"},
            {"at_s", std::round(100.0 * (begins_s + one.at_s)) / 100.0},
            {"pitch_hz", tenths(one.pitch_hz)},
            {"off_hz", tenths(one.advice.off_hz)},
            {"turn", word(one.advice.turn)},
            {"turn_div", std::round(1e4 * one.advice.turn_div) / 1e4},
            {"sure", one.advice.sure},
            {"through_zero_beat", one.advice.cross},
            {"held", one.held}};
        lines += json.dump() + "\n";
    }
    return lines;
}

std::string marks_prompt(const dial::PressedMarks& marks) {
    const auto next = marks.next_div();
    if (!next) return fmt::format("division {:g} was the last", marks.last_div());
    std::string text = fmt::format("press space at {:g}", *next);
    if (marks.marks().empty()) return text;
    const dial::DialMark& last = marks.marks().back();
    text += fmt::format("   last {:g} at {}", last.div, clock_text(last.at_s));
    const auto pace = marks.div_per_min();
    return pace ? text + fmt::format(", {:.1f} divisions a minute", *pace) : text;
}

bool press(dial::PressedMarks& marks, char key, double at_s) {
    constexpr char kBackspace = '\b';
    constexpr char kDelete = '\x7f';  // what most terminals send for backspace
    if (key == kBackspace || key == kDelete) return marks.take_back();
    return (key == ' ' || key == '\n' || key == '\r') && marks.mark(at_s);
}

}  // namespace skedlark::cli
