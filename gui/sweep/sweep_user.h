// One sweep while it is heard: stations, the picture, the map, where the dial should be.
//
// Stage:   gui/sweep, no Qt. In: audio from the hub, marks from the window. Out: snapshots.
// Units:   seconds from the sweep's first sample, count-in included in clicks only; divisions.
// Shape:   one sweep an object. It is over when the motion is done, the input ends or end() is called;
//          what was heard until then counts, and the map is kept.
// Time:    a mark holds for the end of the block heard last, some 50 ms.
// Errors:  what goes wrong stands in the snapshot: failure (nothing can be heard), map_problem.
// Threads: begin(), take() and end() on the hub's thread, or end() on the window's after it has left;
//          everything else on the window's. The snapshot is copied under a lock.
// Source:  none
// Checked: tests/desk/sweep/sweep_user_test.cpp
#pragma once

#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "dsp/dial/pressed_marks.h"
#include "dsp/spectrum/strip.h"
#include "dsp/watch/sweep.h"
#include "dsp/watch/sweep_map.h"
#include "gui/listen/audio_user.h"
#include "gui/sweep/sweep_setup.h"
#include "gui/sweep/swept_columns.h"

namespace skedlark::gui {

enum class SweepPhase { waiting, counting_in, turning, over };

// The map as it is drawn: chance for each division, cell by cell.
struct MapShown {
    std::vector<double> div{};
    std::vector<double> chance_per_div{};
    dial::PlaceMap::Place place{};
    double chance_so_far = 0.0;
    double elsewhere = 0.0;
    int passes = 0;
};

struct SweepState {
    SweepPhase phase = SweepPhase::waiting;
    double count_in_left_s = 0.0;
    double heard_s = 0.0;
    std::optional<double> whole_s{};        // not for marks
    std::optional<double> dial_div{};       // where it should be; marked: where the last mark was
    bool resting = false;                   // stepped
    double change_in_s = 0.0;               // stepped: until the dial moves on, or stands again
    std::optional<double> next_mark_div{};  // marked
    std::size_t marks = 0;
    std::optional<double> marked_div_per_min{};
    std::vector<watch::SweepStation> stations{};
    std::optional<std::size_t> go_back{};  // into stations, once over
    bool lost_audio = false;
    std::string failure{};
    std::string map_problem{};
    std::shared_ptr<const MapShown> map{};  // null: no frequency is wanted
    std::optional<dial::Stretch> next{};    // once over
    int clicks = 0;                         // divisions or rests that have come so far
};

class SweepUser : public AudioUser {
 public:
    SweepUser(const dial::Dial& dial, const SweepSetup& setup);

    void begin(const HeardInput& input) override;
    void take(const watch::Block& block, FrameIndex first_frame) override;
    void end() override;

    bool mark();
    bool take_mark_back();
    [[nodiscard]] SweepState state() const;
    [[nodiscard]] std::vector<SweptColumn> take_columns();
    [[nodiscard]] const SweepSetup& setup() const { return setup_; }
    [[nodiscard]] const dial::Dial& dial() const { return dial_; }
    // When a click is due, seconds from the first sample after begin(), count-in included. Empty for
    // marks, where the hand sets the pace.
    [[nodiscard]] std::vector<double> clicks_due_s() const;

 private:
    Status prepare(const HeardInput& input);
    void hear(std::span<const float> audio, bool lost);
    void take_marks();
    void say_where();
    void conclude();
    void fail(const std::string& why);
    [[nodiscard]] double heard_s() const { return static_cast<double>(heard_) / kWorkRateHz; }

    const dial::Dial dial_;
    const SweepSetup setup_;

    // The hub thread's.
    std::optional<watch::Sweep> sweep_;
    std::optional<spectrum::Strip> strip_;
    std::optional<watch::SweepMap> map_;
    FrameIndex counted_in_ = 0;
    FrameIndex heard_ = 0;
    std::size_t marks_taken_ = 0;

    mutable std::mutex mutex_;  // of all below
    std::optional<dial::Motion> motion_;
    dial::PressedMarks marks_;
    SweptColumns columns_;
    SweepState state_;
    std::vector<double> clicks_due_s_;
};

}  // namespace skedlark::gui
