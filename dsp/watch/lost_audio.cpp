#include "dsp/watch/lost_audio.h"

namespace skedlark::watch {
namespace {

constexpr double kTellAfterS = 1.0;

}  // namespace

void LostAudio::note(bool lost, bool holds_audio, std::string_view reason, FrameIndex frame,
                     std::vector<Event>& out) {
    if (lost) {
        if (!losing_) {
            losing_ = true;
            told_ = false;
            from_ = frame;
            reason_ = reason;
        }
        return;
    }
    if (holds_audio) {
        end(frame, out);
    }
    if (!reason.empty()) {
        out.emplace_back(AudioLostEvent{frame, frame, std::string(reason)});
    }
}

void LostAudio::tell(FrameIndex now, std::vector<Event>& out) {
    if (losing_ && !told_ && seconds_from_frames(now - from_) > kTellAfterS) {
        told_ = true;
        out.emplace_back(NoteEvent{now, "no audio comes in: " + reason_});
    }
}

void LostAudio::end(FrameIndex now, std::vector<Event>& out) {
    if (losing_) {
        losing_ = false;
        out.emplace_back(AudioLostEvent{from_, now, reason_});
    }
}

}  // namespace skedlark::watch
