// Who takes the audio that the desk listens to: each page's part that runs on the hub's thread.
//
// Stage:   gui/listen, no Qt. In: work-rate audio in order. Out: whatever the user makes of it.
// Units:   work-rate frames (8 kHz) from the input's start.
// Shape:   begin(), any number of take(), end(); then again for the next input. A user that joins in
//          the middle gets begin() first and then blocks from wherever the input is.
// Time:    a block is some 50 ms; take() must be done well within that.
// Errors:  none; what goes wrong is the user's own to show.
// Threads: all three are called on the hub's thread. What the window reads is guarded by the user.
// Source:  none
// Checked: tests/desk/listen/audio_hub_test.cpp
#pragma once

#include <optional>
#include <string>

#include "dsp/core/units.h"
#include "dsp/core/utc.h"
#include "dsp/watch/watch.h"

namespace skedlark::gui {

// The input being heard.
struct HeardInput {
    std::string name{};                  // a file's path, a device's name
    bool live = false;                   // a sound card; false also for a file played as if live
    std::optional<double> seconds{};     // of a file, where known
    std::optional<UtcTime> start_utc{};  // of frame 0, live only
};

class AudioUser {
 public:
    AudioUser() = default;
    AudioUser(const AudioUser&) = delete;
    AudioUser& operator=(const AudioUser&) = delete;
    virtual ~AudioUser() = default;

    virtual void begin(const HeardInput& input) = 0;
    virtual void take(const watch::Block& block, FrameIndex first_frame) = 0;
    virtual void end() = 0;
};

}  // namespace skedlark::gui
