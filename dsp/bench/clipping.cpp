#include "dsp/bench/clipping.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace skedlark::bench {
namespace {

constexpr double kNear = 1e-3;  // of the extreme, counts as at it
// Beats between sampling and a tone can double the share over short stretches of few values.
constexpr double kMoreThanSine = 2.0;
constexpr double kFullScale = 0.985;
// Samples at full scale itself are damage far sooner: noise peaks that are cut.
constexpr double kShareAtFullScale = 2e-4;
constexpr double kSilence = 1e-6;

struct Side {
    double share = 0.0;
    double extreme = 0.0;
};
Side side_of(std::span<const float> audio, double sign) {
    double extreme = 0.0;
    for (const float x : audio) extreme = std::max(extreme, sign * static_cast<double>(x));
    std::size_t at = 0;
    for (const float x : audio) {
        at += sign * static_cast<double>(x) >= extreme * (1.0 - kNear) ? 1U : 0U;
    }
    return {static_cast<double>(at) / static_cast<double>(audio.size()), extreme};
}

}  // namespace

Clipping find_clipping(std::span<const float> audio, double clean_share) {
    Clipping out;
    for (const double sign : {1.0, -1.0}) {
        if (audio.empty()) break;
        const Side side = side_of(audio, sign);
        if (side.extreme < kSilence) continue;
        const bool full = side.extreme >= kFullScale;
        const bool cut = side.share > kMoreThanSine * clean_share;
        // At full scale a clean sine of full level has its share there, too: only flat tops of noise
        // or more than a sine's count.
        const bool cut_peaks = full && side.extreme >= 0.9999 && side.share > kShareAtFullScale &&
                               side.share < 0.5 * clean_share;
        if (!cut && !cut_peaks) continue;
        out.flat_tops = true;
        out.at_full_scale = out.at_full_scale || full;
        out.share += side.share;
        out.level = std::max(out.level, side.extreme);
    }
    return out;
}

Status check_full_scale(std::span<const float> audio, double full) {
    std::size_t count = 0;
    for (const float x : audio) count += std::abs(static_cast<double>(x)) >= full ? 1U : 0U;
    if (static_cast<double>(count) <= kShareAtFullScale * static_cast<double>(audio.size()))
        return Done{};
    return Error{
        ErrorCode::invalid_value,
        fmt::format("the sound input clips: {:.2f} % of the samples are at full scale; turn "
                    "its level down and measure again",
                    100.0 * static_cast<double>(count) / static_cast<double>(audio.size()))};
}

double peak_share(std::span<const float> audio) {
    return audio.empty() ? 0.0 : std::max(side_of(audio, 1.0).share, side_of(audio, -1.0).share);
}

}  // namespace skedlark::bench
