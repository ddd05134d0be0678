// Tells the operator when the audio itself is at fault: silent, far too quiet, clipping, not
// numbers.
//
// Stage:   watch. In: work-rate audio. Out: NoteEvent.
// Units:   audio 1.0 = full scale; levels in dBFS of the peak.
// Shape:   any number of samples a call; the same notes for any split. Judges whole seconds.
// Time:    a note stands at the end of the second that gave rise to it. The same note comes again
//          only after the fault was away for a minute.
// Errors:  none.
// Threads: one thread per instance; process() allocates only for a note.
// Source:  limits of this project, the same as the hook-up check's.
// Checked: tests/dsp/watch/input_notes_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/core/events.h"

namespace skedlark::watch {

inline constexpr double kTooLowDbfs = -60.0;    // peak of ten seconds
inline constexpr int kLowForS = 10;             // seconds
inline constexpr float kFullScale = 0.999F;     // at or above counts as clipped
inline constexpr double kClippedShare = 0.001;  // of the samples of a second
inline constexpr int kQuietBetweenS = 60;       // seconds

class InputNotes {
 public:
    // Returns the audio with what is not a number taken out; valid until the next call.
    std::span<const float> process(std::span<const float> audio, bool lost,
                                   std::vector<Event>& out);

 private:
    struct Fault {
        int seconds_since = kQuietBetweenS;  // since it was last seen
    };
    void end_second(std::vector<Event>& out);
    void tell(Fault& fault, bool seen, const std::string& text, std::vector<Event>& out);

    std::vector<float> clean_;
    FrameIndex at_frame_ = 0;
    int heard_ = 0;    // samples of this second that are not lost
    int clipped_ = 0;  // of this second
    float peak_ = 0.0F;
    bool not_numbers_ = false;
    int low_s_ = 0;  // seconds in a row
    float low_peak_ = 0.0F;
    Fault low_fault_, silent_fault_, clip_fault_, number_fault_;
};

}  // namespace skedlark::watch
