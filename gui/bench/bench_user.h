// The bench's part on the hub's thread: records so many seconds, or feeds a meter until it is stopped.
//
// Stage:   gui/bench, no Qt. In: the hub's audio, what is asked for. Out: a snapshot, the finished take,
//          the picture of what comes.
// Units:   work-rate audio; seconds of it.
// Shape:   idle, waiting (for sound, or for a file to begin), listening; a take is handed out once.
// Time:    a take ends to the sample; a file that ends before it ends the take.
// Errors:  stand in BenchHeard::problem, and the take is dropped: the sound input clips, no sound at all.
// Threads: AudioUser's calls on the hub's thread, the rest from the window's; one lock between them.
// Source:  none
// Checked: tests/desk/bench/bench_user_test.cpp
#pragma once

#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "dsp/bench/drift.h"
#include "dsp/bench/peak_meter.h"
#include "dsp/bench/peak_trend.h"
#include "dsp/bench/picture.h"
#include "dsp/bench/run_down.h"
#include "gui/bench/bench_run.h"
#include "gui/listen/audio_user.h"

namespace skedlark::gui {

enum class Listening { idle, waiting, going };
enum class LivePicture { spectrum, level };

// What a step wants to hear.
struct BenchWish {
    enum class For { take, drift, run_down, peak };
    For what = For::take;
    double seconds = 0.0;  // of a take
    LivePicture picture = LivePicture::spectrum;
    bool from_file_start = false;  // waits for the next input to begin
    bool may_clip = false;         // single taps or crackles may
    std::optional<bench::DriftConfig> drift{};
    std::optional<bench::RunDownConfig> run_down{};
};

struct PeakHeard {
    bench::PeakReading reading{};
    bench::Trend now = bench::Trend::steady;
    bench::Trend last = bench::Trend::steady;
};

struct BenchHeard {
    Listening listening = Listening::idle;
    bool audio_runs = false;
    double seconds = 0.0;  // of this take so far
    double wanted_s = 0.0;
    double lost_s = 0.0;
    std::string input{};
    bool live = false;
    std::optional<PeakHeard> peak{};
    std::string problem{};
};

class BenchUser final : public AudioUser {
 public:
    void start(BenchWish wish);
    // A take that is too short is kept: what needs more says so. A run is finished.
    void stop();
    void cancel();  // and nothing is kept
    void mark(const bench::SupplyMark& supply);
    void mark(const bench::PowerMark& power);
    void release_peak();

    [[nodiscard]] BenchHeard heard() const;
    [[nodiscard]] std::optional<BenchTake> take_finished();
    [[nodiscard]] bench::Picture picture() const;

    void begin(const HeardInput& input) override;
    void take(const watch::Block& block, FrameIndex first_frame) override;
    void end() override;

 private:
    void set_out();  // these under mutex_
    void hear(std::span<const float> audio);
    void conclude();
    void count_peak(std::span<const float> audio);

    mutable std::mutex mutex_;
    BenchWish wish_;
    BenchHeard told_;
    std::optional<HeardInput> input_;
    std::shared_ptr<std::vector<float>> audio_;
    std::shared_ptr<bench::DriftMeter> drift_;
    std::shared_ptr<bench::RunDownMeter> run_down_;
    std::optional<bench::PeakMeter> peak_;
    bench::PeakTrend trend_;
    std::optional<BenchTake> finished_;
};

}  // namespace skedlark::gui
