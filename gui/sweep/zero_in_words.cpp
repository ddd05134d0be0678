#include "gui/sweep/zero_in_words.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {

// As fine as is needed: two figures, at most four places.
std::string division(double div) {
    const double size = std::abs(div);
    return fmt::format("{:.{}f} div", size, size < 0.0095 ? 4 : size < 0.095 ? 3 : 2);
}

}  // namespace

ZeroInWords words_of(const ZeroInHeard& way) {
    ZeroInWords words;
    if (!way.advice) {
        words.word = "listen";
        words.digits = fmt::format("near {:.2f}", way.div);
        words.why = "Nothing is heard by now: turn slowly about there.";
        return words;
    }
    const dial::ZeroInAdvice& advice = *way.advice;
    words.heard = true;
    words.turn = advice.turn;
    if (advice.turn == dial::Turn::here) {
        words.word = "there";
        words.digits = fmt::format("{:.0f} Hz", advice.pitch_hz);
        words.why = way.held ? "Held: it can be copied at this pitch." : "Hold the dial here.";
        return words;
    }
    words.word = advice.turn == dial::Turn::up ? "turn up" : "turn down";
    words.digits = advice.sure ? division(advice.turn_div) : "a little";
    words.why = fmt::format("{:.0f} Hz: {:.0f} too {}", advice.pitch_hz, std::abs(advice.off_hz),
                            advice.off_hz > 0.0 ? "high" : "low");
    if (advice.cross) {
        words.why = fmt::format("{:.0f} Hz: wrong side, turn through zero beat", advice.pitch_hz);
    } else if (!advice.sure) {
        words.why += "; the way the pitch goes will tell the side";
    }
    return words;
}

}  // namespace skedlark::gui
