#include "gui/copy/page_layout.h"

#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {

const FrameIndex kLineFrames = frames_from_seconds(kLineS);
constexpr double kNear = 0.01;
// From here upwards the ink gets stronger; below it a character is as good as a guess.
constexpr double kGuess = 0.4;

double x_on(std::int64_t line, FrameIndex frame) {
    return static_cast<double>(frame - line_start(line)) / static_cast<double>(kLineFrames);
}

}  // namespace

std::int64_t line_of(FrameIndex frame) {
    return frame >= 0 ? frame / kLineFrames : (frame + 1) / kLineFrames - 1;
}

FrameIndex line_start(std::int64_t line) { return line * kLineFrames; }

PagePlace place_of(FrameIndex frame) {
    const std::int64_t line = line_of(frame);
    return {line, x_on(line, frame)};
}

FrameIndex frame_at(const PagePlace& place) {
    return line_start(place.line) +
           static_cast<FrameIndex>(std::llround(place.x * static_cast<double>(kLineFrames)));
}

std::vector<PlacedCharacter> on_line(std::span<const Copied> characters, std::int64_t line) {
    std::vector<PlacedCharacter> placed;
    // Characters come in order of time, but for those only heard; a few are looked at in vain.
    const auto first = std::lower_bound(
        characters.begin(), characters.end(), line_start(line),
        [](const Copied& one, FrameIndex frame) { return one.read.from_frame < frame; });
    for (auto one = first; one != characters.end(); ++one) {
        const std::int64_t its = line_of(one->read.from_frame);
        if (its > line) break;
        if (its < line || one->is_gap()) continue;
        PlacedCharacter place;
        place.index = static_cast<std::size_t>(one - characters.begin());
        place.x_from = x_on(line, one->read.from_frame);
        place.x_to = std::min(1.0, x_on(line, one->read.to_frame));
        place.x_middle = 0.5 * (place.x_from + place.x_to);
        placed.push_back(place);
    }
    return placed;
}

std::optional<std::size_t> character_at(std::span<const Copied> characters,
                                        const PagePlace& place) {
    std::optional<std::size_t> nearest;
    double least = kNear;
    for (const PlacedCharacter& one : on_line(characters, place.line)) {
        const double off = std::max({one.x_from - place.x, place.x - one.x_to, 0.0});
        if (off <= least && (!nearest || off < least)) {
            least = off;
            nearest = one.index;
        }
    }
    return nearest;
}

std::optional<std::size_t> step_from(std::span<const Copied> characters,
                                     std::optional<std::size_t> at, int step) {
    auto next = at ? static_cast<std::ptrdiff_t>(*at) + step
                   : (step > 0 ? 0 : static_cast<std::ptrdiff_t>(characters.size()) - 1);
    for (; next >= 0 && next < static_cast<std::ptrdiff_t>(characters.size()); next += step) {
        if (!characters[static_cast<std::size_t>(next)].is_gap()) {
            return static_cast<std::size_t>(next);
        }
    }
    return std::nullopt;
}

double strength_of(double confidence, double least) {
    const double share = std::clamp((confidence - kGuess) / (1.0 - kGuess), 0.0, 1.0);
    return least + (1.0 - least) * share;
}

}  // namespace skedlark::gui
