#include "cli/zero_in_view.h"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

namespace skedlark::cli {

namespace {

const char* word(dial::Turn turn) {
    return turn == dial::Turn::here ? "here" : turn == dial::Turn::up ? "up" : "down";
}

double tenths(double value) { return std::round(10.0 * value) / 10.0; }

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

std::string zero_in_json(const std::vector<watch::ZeroInStep>& steps, double begins_s) {
    std::string lines;
    for (const watch::ZeroInStep& step : steps) {
        const nlohmann::ordered_json json{
            {"event", "zero_in"},
            {"at_s", std::round(100.0 * (begins_s + step.glance.at_s)) / 100.0},
            {"pitch_hz", tenths(step.glance.pitch_hz)},
            {"off_hz", tenths(step.advice.off_hz)},
            {"turn", word(step.advice.turn)},
            {"turn_div", std::round(1e4 * step.advice.turn_div) / 1e4},
            {"sure", step.advice.sure},
            {"through_zero_beat", step.advice.cross},
            {"held", step.held}};
        lines += json.dump() + "\n";
    }
    return lines;
}

}  // namespace skedlark::cli
