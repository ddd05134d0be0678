// Pulls a source through a watch until it ends: the loop of the command line and of tests.
//
// Stage:   watch. In: an audio::Source of any rate. Out: events, in batches, as they become known.
// Units:   seconds from the input's start.
// Shape:   batches hold at least one event.
// Time:    live input is handed on in blocks of about kBlockS.
// Errors:  those of the source, after everything that was had has been given out, summary included.
// Threads: runs on the caller's; stop it by the source's request_stop() or a sink that returns
//          false.
// Source:  none
// Checked: tests/dsp/watch/drive_test.cpp
#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "dsp/audio/recorder.h"
#include "dsp/audio/source.h"
#include "dsp/watch/watch.h"

namespace skedlark::watch {

inline constexpr double kBlockS = 0.05;

struct DriveHooks {
    // False: nobody listens any more, stop at once without a summary.
    std::function<bool(const std::vector<Event>&)> events;
    // After every block, where set. total_s is empty where it is not known.
    std::function<void(double done_s, std::optional<double> total_s)> progress{};
    // Of the audio that is read, where it is recorded: a note tells when it fails or falls behind.
    const audio::Recorder* recorder = nullptr;
};

[[nodiscard]] Status drive(audio::Source& work_rate_source, Watch& watch, const DriveHooks& hooks);

}  // namespace skedlark::watch
