// One sound file being written, readable at any moment of a crash.
//
// Stage:   audio, inside of recorder.h.
// Units:   1.0 = full scale, clipped beyond.
// Shape:   append() any number of frames; they reach the system at once, but for less than one FLAC
//          frame (4096). A WAV header is brought up to date twice a second.
// Time:    none.
// Errors:  disk_full, write_failed, naming the file.
// Threads: one thread per instance.
// Source:  libsndfile.
// Checked: tests/dsp/audio/recorder_test.cpp
#pragma once

#include <chrono>
#include <cstdint>
#include <future>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::audio {

enum class RecordingFormat { flac, wav };

struct SegmentFormat {
    RecordingFormat format = RecordingFormat::flac;
    int bits = 16;
    int rate_hz = 0;
};

class SegmentFile {
 public:
    // path must not exist yet: nothing is overwritten.
    [[nodiscard]] static Result<std::unique_ptr<SegmentFile>> create(const std::string& path,
                                                                     const SegmentFormat& format);
    SegmentFile(const SegmentFile&) = delete;
    SegmentFile& operator=(const SegmentFile&) = delete;
    ~SegmentFile();

    [[nodiscard]] Status append(std::span<const float> audio);
    // Header and, after fsync_s, the disk itself. Call often.
    void keep_safe(double fsync_s);
    [[nodiscard]] Status finish();

 private:
    using Clock = std::chrono::steady_clock;

    SegmentFile(std::string path, const SegmentFormat& format, int descriptor);
    [[nodiscard]] Error failure() const;

    std::string path_;
    SegmentFormat format_;
    int descriptor_;
    void* file_ = nullptr;  // SNDFILE
    std::vector<std::int32_t> numbers_;
    Clock::time_point header_done_ = Clock::now();
    Clock::time_point synced_ = Clock::now();
    std::future<void> syncing_;
};

}  // namespace skedlark::audio
