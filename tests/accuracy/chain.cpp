#include "tests/accuracy/chain.h"

#include <algorithm>
#include <utility>

#include "dsp/copy/copier.h"
#include "dsp/tone/follower.h"
#include "dsp/watch/watch.h"
#include "tests/support/text_score.h"

namespace skedlark::accuracy {
namespace {

// As a sound card or file gives it: blocks, not the whole at once.
constexpr std::size_t kBlockFrames = 1600;

// From a known pitch: follower and copier alone.
Result<std::vector<Event>> copy_told_pitch(std::span<const float> audio,
                                           const ChainConfig& config) {
    auto follower = tone::Follower::create(
        {.pitch_hz = *config.told_pitch_hz, .pitch_error_hz = config.told_pitch_error_hz});
    if (!follower) return follower.error();
    auto copier = copy::Copier::create(
        {.speed_wpm = config.speed_wpm, .lag_s = config.lag_s, .text = config.text});
    if (!copier) return copier.error();
    std::vector<Event> events;
    std::vector<tone::BasebandFrame> frames;
    while (!audio.empty()) {
        const auto block = audio.first(std::min(kBlockFrames, audio.size()));
        audio = audio.subspan(block.size());
        frames.clear();
        follower->process(block, frames);
        copier->process(frames, events);
    }
    copier->finish(events);
    return events;
}

// Nothing told: the same pipeline that the command line and the desk run.
Result<std::vector<Event>> copy_watch(std::span<const float> audio, const ChainConfig& config) {
    watch::WatchConfig setting;
    setting.speed_wpm = config.speed_wpm;
    setting.text = config.text;
    setting.lag_s = config.lag_s;
    auto watch = watch::Watch::create(setting);
    if (!watch) return watch.error();
    std::vector<Event> events;
    while (!audio.empty()) {
        const auto block = audio.first(std::min(kBlockFrames, audio.size()));
        audio = audio.subspan(block.size());
        watch->process({.audio = block}, events);
    }
    watch->finish(events);
    return events;
}

}  // namespace

Result<std::vector<Printed>> copy_audio(std::span<const float> audio, const ChainConfig& config) {
    auto events = config.told_pitch_hz ? copy_told_pitch(audio, config) : copy_watch(audio, config);
    if (!events) return events.error();
    return printed_of(*events);
}

std::vector<Printed> printed_of(std::span<const Event> events) {
    std::vector<Printed> printed;
    for (const Event& event : events) {
        const auto* character = std::get_if<CharEvent>(&event);
        if (character == nullptr || !character->final) continue;
        const std::string text =
            character->procedure ? "[" + character->text + "]" : character->text;
        const auto tokens = support::tokens_of(text);
        printed.push_back({tokens.empty() ? " " : tokens.front(), character->confidence,
                           character->from_frame, character->to_frame});
    }
    return printed;
}

std::vector<std::string> tokens_of(std::span<const Printed> printed) {
    std::vector<std::string> tokens;
    for (const Printed& one : printed) tokens.push_back(one.token);
    return tokens;
}

}  // namespace skedlark::accuracy
