// Copying on the listening thread: text, waterfall rows, and the last ten minutes of audio.
//
// Stage:   gui/copy, no Qt. In: blocks of the hub. Out: what the window takes: events, rows, what is
//          known of the tones followed.
// Units:   hertz, seconds, work-rate frames from the input's start.
// Shape:   as AudioUser. Changed settings make a new Watch between two blocks: it hears the last
//          kHearAgainS again, so that nothing is lost or told twice, and tones keep their numbers.
// Time:    a row is there half a window (64 ms) after its middle; characters as in Watch.
// Errors:  settings that a Watch refuses are told as a NoteEvent and the old ones stay.
// Threads: begin(), take(), end() on the hub's thread; the rest from the window's. The outbox is
//          bounded: rows nobody takes are dropped oldest first, events are kept.
// Source:  none
// Checked: tests/desk/copy/copy_user_test.cpp
#pragma once

#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "dsp/spectrum/strip.h"
#include "gui/copy/audio_ring.h"
#include "gui/copy/row_ring.h"
#include "gui/listen/audio_user.h"

namespace skedlark::gui {

inline constexpr double kHearAgainS = 30.0;
inline constexpr double kPictureHz = 700.0;  // until a pitch is told or a tone followed

struct CopySettings {
    watch::WatchConfig watch{};
    double picture_span_hz = 120.0;  // to each side

    [[nodiscard]] bool same_watch(const CopySettings& other) const;
};

// What became known since the last time.
struct CopyNews {
    std::optional<HeardInput> began{};  // a new input: what follows belongs to it
    bool ended = false;
    std::vector<Event> events{};
    std::vector<RowInfo> row_infos{};
    std::vector<std::uint8_t> row_bytes{};  // kRowPoints each
    std::vector<ToneSummary> followed{};    // without text
    double picture_hz = kPictureHz;
    FrameIndex heard_to = 0;
};

class CopyUser final : public AudioUser {
 public:
    CopyUser();

    void begin(const HeardInput& input) override;
    void take(const watch::Block& block, FrameIndex first_frame) override;
    void end() override;

    void set(const CopySettings& settings);
    [[nodiscard]] CopyNews news();
    [[nodiscard]] std::vector<float> audio(FrameIndex from, FrameIndex to) const;

 private:
    void renew(const CopySettings& settings);
    void replay();
    void hear(const watch::Block& block);
    void rename(std::vector<Event>& events);
    int number_of(const ToneEvent& tone);
    void draw(std::span<const float> audio);
    void look(const CopySettings& settings);
    void post(std::vector<Event> events);

    struct Known {
        double pitch_hz = 0.0;
        FrameIndex read_to = 0;  // end of its last final character
    };

    // The hub thread's.
    CopySettings used_{};
    std::optional<watch::Watch> watch_;
    std::optional<spectrum::Strip> strip_;
    FrameIndex watch_from_ = 0;  // frame 0 of watch_
    FrameIndex strip_from_ = 0;
    FrameIndex at_ = 0;           // end of what was taken
    std::map<int, int> numbers_;  // watch_'s to ours
    std::map<int, Known> known_;  // ours
    double picture_hz_ = kPictureHz;
    double picture_span_hz_ = 0.0;
    FrameIndex looked_ = 0;
    std::vector<std::uint8_t> row_;

    mutable std::mutex mutex_;  // of all below
    CopySettings wanted_{};
    bool changed_ = false;
    AudioRing audio_;
    CopyNews news_;
};

}  // namespace skedlark::gui
