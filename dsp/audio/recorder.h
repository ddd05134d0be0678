// Writes what is heard to disk while listening goes on.
//
// Stage:   audio. In: blocks of a Source. Out: FLAC or WAV files, one after the other.
// Units:   1.0 = full scale; beyond it is clipped.
// Shape:   any block; write() copies it into a bounded queue and never waits for the disk. Files of
//          segment_s, far below 4 GiB; names carry the UTC of their first frame, none is
//          overwritten.
// Time:    a gap in first_frame becomes zeros up to kMaxFillS, and a new file beyond.
// Errors:  create() returns invalid_value, unreadable, write_failed. Later ones (disk_full,
//          write_failed) stand in status(): recording stops, what was had is kept, listening goes
//          on. Blocks for which the queue had no room are counted.
// Threads: write() from one thread; the getters and close() from any one. The disk has its own. A
//          killed process (SIGKILL) loses less than a second: every block goes to the system within
//          50 ms, but for the 4096 frames a FLAC frame gathers (0.51 s at 8 kHz).
// Source:  libsndfile; RIFF sizes: EBU Tech 3306
// Checked: tests/dsp/audio/recorder_test.cpp
#pragma once

#include <atomic>
#include <boost/lockfree/spsc_queue.hpp>
#include <chrono>
#include <memory>
#include <mutex>
#include <span>
#include <string>
#include <thread>
#include <vector>

#include "dsp/audio/segment_file.h"
#include "dsp/core/result.h"
#include "dsp/core/units.h"

namespace skedlark::audio {

struct RecorderConfig {
    std::string folder{};             // must exist
    std::string prefix = "skedlark";  // start of the file names, without '/'
    RecordingFormat format = RecordingFormat::flac;
    int bits = 16;                                                 // 16 or 24
    double sample_rate_hz = 0.0;                                   // 8000 to 192000
    std::chrono::sys_time<std::chrono::milliseconds> start_utc{};  // of frame 0; no clock is asked
    double segment_s = 3600.0;                                     // 1 to what stays below 2 GiB
    double queue_s = 10.0;  // 0.5 to 120; how long the disk may stall
    double fsync_s = 5.0;   // 0.5 up; what a power cut may cost
};

class Recorder {
 public:
    static constexpr double kMaxFillS = 10.0;

    [[nodiscard]] static Result<std::unique_ptr<Recorder>> create(const RecorderConfig& config);
    Recorder(const Recorder&) = delete;
    Recorder& operator=(const Recorder&) = delete;
    ~Recorder();  // as close()

    void write(std::span<const float> audio, FrameIndex first_frame) noexcept;
    [[nodiscard]] Status status() const;
    [[nodiscard]] std::int64_t dropped_frames() const noexcept { return dropped_.load(); }
    [[nodiscard]] std::vector<std::string> files() const;
    // Writes what is queued and finishes the file. Further blocks are ignored.
    Status close();

 private:
    struct Block {
        FrameIndex first_frame = 0;
        int frames = 0;
    };

    explicit Recorder(const RecorderConfig& config);
    [[nodiscard]] Status open_segment(FrameIndex first_frame);
    void run();
    void store(const Block& block);
    [[nodiscard]] Status append(std::span<const float> audio);
    [[nodiscard]] Status fill_to(FrameIndex first_frame);
    void fail(const Error& error);

    RecorderConfig config_;
    FrameIndex segment_frames_;
    boost::lockfree::spsc_queue<float> samples_;
    boost::lockfree::spsc_queue<Block> blocks_;
    std::atomic<std::int64_t> dropped_{0};
    std::atomic<bool> closing_{false};
    std::atomic<bool> failed_{false};

    std::unique_ptr<SegmentFile> segment_;  // the disk thread's, as the next three
    FrameIndex next_frame_ = 0;
    FrameIndex segment_end_ = 0;
    std::vector<float> chunk_;

    mutable std::mutex mutex_;  // of the next two
    Status status_ = Done{};
    std::vector<std::string> files_;
    std::thread thread_;
};

}  // namespace skedlark::audio
