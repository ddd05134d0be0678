// The sweep's part on the hub's thread: stations, rows of the picture, then the way back to a station.
//
// Stage:   gui/sweep, no Qt. In: the hub's audio; a setup, marks, a station to go back to. Out: a
//          snapshot, and the rows that came since they were last taken.
// Units:   seconds from the sweep's first sample; dB over the noise floor; hertz.
// Shape:   off, armed, running, done; start() from any of them begins anew. While done, lead() helps
//          to zero in.
// Time:    a sweep of a pace begins ready_s after the audio does, one over a file with the file.
//          Rows come each kHopS.
// Errors:  stand in SweepSnapshot::failure; the phase is off then.
// Threads: AudioUser's calls on the hub's thread, all others from the window's. What is asked for is
//          done at the next block, or at once where no audio runs.
// Source:  none
// Checked: tests/desk/sweep/sweep_user_test.cpp
#pragma once

#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "dsp/spectrum/strip.h"
#include "dsp/watch/sweep.h"
#include "dsp/watch/zero_in_guide.h"
#include "gui/listen/audio_user.h"
#include "gui/sweep/sweep_setup.h"

namespace skedlark::gui {

enum class SweepPhase { off, armed, running, done };

struct SweepRow {
    double at_s = 0.0;
    std::vector<float> over_noise_db{};  // from the lowest pitch to the highest
};

// The way back to a station.
struct ZeroInHeard {
    double div = 0.0;  // where it was met
    std::optional<dial::ZeroInAdvice> advice{};
    bool held = false;
    double held_pitch_hz = 0.0;
    double seconds = 0.0;
    std::optional<watch::CallHeard> call{};
};

struct SweepSnapshot {
    SweepPhase phase = SweepPhase::off;
    int run = 0;              // counts starts
    double to_start_s = 0.0;  // armed, audio runs
    bool audio_runs = false;
    double heard_s = 0.0;
    std::optional<dial::Motion> motion{};  // as far as it is known
    std::vector<watch::SweepStation> stations{};
    std::shared_ptr<const watch::Sweep> finished{};  // done: for the map
    std::optional<ZeroInHeard> zero_in{};
    std::string failure{};
};

class SweepUser final : public AudioUser {
 public:
    static constexpr double kHopS = 0.05;
    static constexpr int kPoints = 120;
    static constexpr std::size_t kMostRows = 4096;  // kept for a window that takes none

    struct Start {
        dial::Dial dial;
        SweepSetup setup{};
        double ready_s = 0.0;  // to put a hand to the dial
    };
    void start(const Start& start);
    // All marks so far; the motion follows from two or more.
    void marked(const std::vector<dial::DialMark>& marks);
    void finish();  // what was heard until now is told
    void lead(double div);
    void leave_lead();

    [[nodiscard]] SweepSnapshot snapshot() const;
    [[nodiscard]] std::vector<SweepRow> take_rows();

    void begin(const HeardInput& input) override;
    void take(const watch::Block& block, FrameIndex first_frame) override;
    void end() override;

 private:
    void ask(std::function<void()> what);
    void do_asked();  // under work_mutex_
    void set_out();   // armed to running
    void conclude();
    void hear(std::span<const float> audio, bool lost);
    void add_rows(std::span<const float> audio);
    void fail(const std::string& why);
    void tell();

    std::mutex work_mutex_;  // of what the audio is worked with: the hub's thread while audio runs
    std::optional<Start> start_;
    SweepPhase phase_ = SweepPhase::off;
    std::optional<HeardInput> input_{};
    FrameIndex to_start_ = 0;
    FrameIndex heard_ = 0;
    FrameIndex strip_begins_ = 0;  // frames the strip was given before the sweep
    std::optional<dial::Motion> motion_;
    std::optional<watch::Sweep> sweep_;
    std::shared_ptr<const watch::Sweep> finished_;
    std::optional<spectrum::Strip> strip_;
    std::optional<watch::ZeroInGuide> guide_;
    std::string failure_;
    int run_ = 0;

    mutable std::mutex told_mutex_;  // of what the window reads and asks
    bool audio_runs_ = false;
    std::vector<std::function<void()>> asked_;
    SweepSnapshot told_;
    std::vector<SweepRow> rows_;
};

}  // namespace skedlark::gui
