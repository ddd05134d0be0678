#include "gui/copy/copy_again.h"

#include <algorithm>
#include <span>
#include <utility>

namespace skedlark::gui {

namespace {
// Long enough that a tone at the limit of finding has been heard out before its text is wanted.
constexpr FrameIndex kStep = 8000;
}  // namespace

ReadAgain copy_again(const std::vector<float>& audio, FrameIndex from, watch::WatchConfig config,
                     const std::atomic<bool>& stop) {
    ReadAgain again;
    config.tones = 1;
    config.provisional = false;
    config.lag_s = watch::kFileLagS;
    config.lookback_s = watch::kMaxLookbackS;
    auto watch = watch::Watch::create(config);
    if (!watch) {
        again.failure = watch.error().message;
        return again;
    }
    std::vector<Event> events;
    std::span<const float> rest(audio);
    while (!rest.empty() && !stop) {
        const auto part = rest.first(std::min<std::size_t>(rest.size(), kStep));
        watch->process({part, false, {}}, events);
        rest = rest.subspan(part.size());
    }
    watch->finish(events);
    for (Event& event : events) {
        if (auto* read = std::get_if<CharEvent>(&event)) {
            read->from_frame += from;
            read->to_frame += from;
            again.characters.push_back({std::move(*read), {}, false});
        } else if (auto* summary = std::get_if<SummaryEvent>(&event);
                   summary != nullptr && !summary->tones.empty()) {
            again.pitch_hz = summary->tones.front().pitch_hz;
            again.speed_wpm = summary->tones.front().speed_wpm;
        }
    }
    return again;
}

void CopyAgain::start(std::vector<float> audio, FrameIndex from, const watch::WatchConfig& config) {
    cancel();
    stop_ = false;
    done_ = false;
    thread_ = std::thread([this, audio = std::move(audio), from, config] {
        read_ = copy_again(audio, from, config, stop_);
        done_ = true;
    });
}

void CopyAgain::cancel() {
    stop_ = true;
    if (thread_.joinable()) thread_.join();
}

std::optional<ReadAgain> CopyAgain::result() {
    if (!done_ || !thread_.joinable()) return std::nullopt;
    thread_.join();
    return std::exchange(read_, {});
}

}  // namespace skedlark::gui
