// Tells of audio that did not come: a device away, buffers overrun.
//
// Stage:   watch. In: whether each block is lost, and why. Out: AudioLostEvent; NoteEvent while it
//          lasts.
// Units:   work-rate frames.
// Shape:   blocks of any size, in order.
// Time:    the event comes when audio comes again, or at the end; the note once, a second into the
//          loss.
// Errors:  none.
// Threads: one thread per instance; allocates only for an event.
// Checked: tests/dsp/watch/lost_audio_test.cpp
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "dsp/core/events.h"

namespace skedlark::watch {

class LostAudio {
 public:
    // A block that begins at `frame`. A reason without loss: something was lost between this block
    // and the one before, of no known length.
    void note(bool lost, bool holds_audio, std::string_view reason, FrameIndex frame,
              std::vector<Event>& out);
    // While audio goes on being lost: says so once, without waiting for the end.
    void tell(FrameIndex now, std::vector<Event>& out);
    // Nothing more comes.
    void end(FrameIndex now, std::vector<Event>& out);

 private:
    bool losing_ = false;
    bool told_ = false;
    FrameIndex from_ = 0;
    std::string reason_;
};

}  // namespace skedlark::watch
