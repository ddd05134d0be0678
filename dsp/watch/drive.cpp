#include "dsp/watch/drive.h"

#include <fmt/format.h>

#include <cassert>

namespace skedlark::watch {

Status drive(audio::Source& source, Watch& watch, const DriveHooks& hooks) {
    assert(source.sample_rate_hz() == kWorkRateHz);
    std::vector<float> block(static_cast<std::size_t>(frames_from_seconds(kBlockS)));
    std::vector<Event> events;
    std::optional<double> total_s;
    if (const auto frames = source.total_frames()) {
        total_s = seconds_from_frames(*frames);
    }
    bool told_bad_samples = false;
    std::optional<Error> failed;
    for (bool ended = false; !ended;) {
        Result<audio::ReadResult> read = source.read(block);
        if (!read) {
            failed = read.error();
            break;
        }
        const auto frames = static_cast<std::size_t>(read->frames);
        watch.process({std::span(block).first(frames), read->lost, read->lost_reason}, events);
        const FrameIndex end_frame = read->first_frame + read->frames;
        if (source.bad_samples() > 0 && !told_bad_samples) {
            told_bad_samples = true;
            events.emplace_back(
                NoteEvent{end_frame, "some samples are not numbers; they are taken as silence"});
        }
        if (!events.empty() && !hooks.events(events)) {
            return Done{};
        }
        events.clear();
        if (hooks.progress) {
            hooks.progress(seconds_from_frames(end_frame), total_s);
        }
        ended = read->end;
    }
    watch.finish(events);
    hooks.events(events);
    if (failed) {
        return *failed;
    }
    return Done{};
}

}  // namespace skedlark::watch
