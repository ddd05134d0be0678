#include "dsp/fist/key_delay.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::fist {

namespace {
constexpr double kBeforeS = 0.02;  // the clocks of output and input agree to about so much
}

Result<KeyDelay> key_delay(std::span<const KeyMark> pressed, std::span<const float> heard,
                           double heard_from_s) {
    const auto marks = key_marks(heard);
    if (!marks) {
        return Error{
            ErrorCode::not_found,
            "the input hears no sidetone: join the output to it, or hold the microphone to "
            "the headphones"};
    }
    std::vector<double> delays;
    double worst = 0.0;
    std::size_t next = 0;
    for (const KeyMark& press : pressed) {
        while (next < marks->size() && (*marks)[next].on_s + heard_from_s < press.on_s - kBeforeS) {
            ++next;
        }
        if (next == marks->size()) break;
        const double on_s = (*marks)[next].on_s + heard_from_s;
        const double off_s = (*marks)[next].off_s + heard_from_s;
        if (on_s - press.on_s > kLongestKeyDelayS) continue;
        delays.push_back(on_s - press.on_s);
        delays.push_back(off_s - press.off_s);
        worst = std::max(worst, std::abs((off_s - on_s) - (press.off_s - press.on_s)));
        ++next;
    }
    if (delays.size() < 2 * pressed.size() || delays.empty()) {
        return Error{
            ErrorCode::not_found,
            fmt::format("the key was pressed {} times and heard {} times: something else is "
                        "heard, or the sound breaks up",
                        pressed.size(), delays.size() / 2)};
    }
    KeyDelay out;
    out.edges = static_cast<int>(delays.size());
    out.worst_length_s = worst;
    for (const double delay : delays) out.mean_s += delay / out.edges;
    for (const double delay : delays)
        out.sd_s += (delay - out.mean_s) * (delay - out.mean_s) / std::max(1, out.edges - 1);
    out.sd_s = std::sqrt(out.sd_s);
    return out;
}

}  // namespace skedlark::fist
