#include "dsp/watch/drive.h"

#include <fmt/format.h>

#include <cassert>

namespace skedlark::watch {

namespace {

// What the operator must know besides what the watch itself tells; each thing once.
class SideNotes {
 public:
    SideNotes(const audio::Source& source, const audio::Recorder* recorder)
        : source_(source), recorder_(recorder) {}

    void add(FrameIndex at_frame, std::vector<Event>& out) {
        if (!told_bad_samples_ && source_.bad_samples() > 0) {
            told_bad_samples_ = true;
            out.emplace_back(
                NoteEvent{at_frame, "some samples are not numbers; they are taken as silence"});
        }
        if (recorder_ == nullptr) {
            return;
        }
        if (!told_failure_) {
            if (const Status status = recorder_->status(); !status) {
                told_failure_ = true;
                out.emplace_back(NoteEvent{
                    at_frame, "recording stopped, listening goes on: " + status.error().message});
            }
        }
        if (!told_dropped_ && recorder_->dropped_frames() > 0) {
            told_dropped_ = true;
            out.emplace_back(NoteEvent{
                at_frame, "the disk is too slow: some audio is missing in the recording"});
        }
    }

 private:
    const audio::Source& source_;
    const audio::Recorder* recorder_;
    bool told_bad_samples_ = false;
    bool told_failure_ = false;
    bool told_dropped_ = false;
};

}  // namespace

Status drive(audio::Source& source, Watch& watch, const DriveHooks& hooks) {
    assert(source.sample_rate_hz() == kWorkRateHz);
    std::vector<float> block(static_cast<std::size_t>(frames_from_seconds(kBlockS)));
    std::vector<Event> events;
    std::optional<double> total_s;
    if (const auto frames = source.total_frames()) {
        total_s = seconds_from_frames(*frames);
    }
    SideNotes side_notes(source, hooks.recorder);
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
        side_notes.add(end_frame, events);
        if (!events.empty() && !hooks.events(events)) {
            return Done{};
        }
        events.clear();
        if (hooks.progress) {
            hooks.progress(seconds_from_frames(end_frame), total_s);
        }
        // A file could be read on; live input still gives what is at hand and ends by itself.
        ended = read->end || (!source.is_live() && source.stop_requested());
    }
    watch.finish(events);
    hooks.events(events);
    if (failed) {
        return *failed;
    }
    return Done{};
}

}  // namespace skedlark::watch
