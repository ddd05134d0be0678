#include "dsp/audio/recorder.h"

#include <fmt/format.h>
#include <sys/stat.h>

#include <algorithm>
#include <cmath>

#include "dsp/audio/source.h"

namespace skedlark::audio {
namespace {

constexpr int kPollMs = 20;
constexpr std::size_t kChunkFrames = 4096;
constexpr std::size_t kMaxBlocks = 65536;
constexpr double kMaxSegmentBytes = 2147483647.0;  // where sizes are read as signed
constexpr int kMaxSameName = 1000;

std::string utc_name(std::chrono::sys_time<std::chrono::milliseconds> when) {
    const auto second = std::chrono::floor<std::chrono::seconds>(when);
    const auto day = std::chrono::floor<std::chrono::days>(second);
    const std::chrono::year_month_day date(day);
    const std::chrono::hh_mm_ss clock(second - day);
    return fmt::format("{:04}{:02}{:02}T{:02}{:02}{:02}Z", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()),
                       clock.hours().count(), clock.minutes().count(), clock.seconds().count());
}

Error out_of_range(const char* field, double value, const std::string& allowed) {
    return {ErrorCode::invalid_value, fmt::format("{} {} is outside {}", field, value, allowed)};
}

Status check(const RecorderConfig& config) {
    const double rate_hz = config.sample_rate_hz;
    if (!(rate_hz >= kMinSampleRateHz && rate_hz <= kMaxSampleRateHz)) {
        return out_of_range("sample_rate_hz", rate_hz, "8000 to 192000 Hz");
    }
    if (config.bits != 16 && config.bits != 24) {
        return out_of_range("bits", config.bits, "16 or 24");
    }
    const double most_s = std::floor(kMaxSegmentBytes / (rate_hz * config.bits / 8.0));
    if (!(config.segment_s >= 1.0 && config.segment_s <= most_s)) {
        return out_of_range("segment_s", config.segment_s, fmt::format("1 to {} s", most_s));
    }
    if (!(config.queue_s >= 0.5 && config.queue_s <= 120.0)) {
        return out_of_range("queue_s", config.queue_s, "0.5 to 120 s");
    }
    if (!(config.fsync_s >= 0.5)) return out_of_range("fsync_s", config.fsync_s, "0.5 s and up");
    if (config.prefix.find('/') != std::string::npos) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("prefix \"{}\" must not contain '/'", config.prefix)};
    }
    struct stat info {};
    if (stat(config.folder.c_str(), &info) != 0) {
        return Error{ErrorCode::not_found, fmt::format("{}: no such folder", config.folder)};
    }
    if (!S_ISDIR(info.st_mode)) {
        return Error{ErrorCode::write_failed, fmt::format("{}: is not a folder", config.folder)};
    }
    return Done{};
}

}  // namespace

Result<std::unique_ptr<Recorder>> Recorder::create(const RecorderConfig& config) {
    if (Status status = check(config); !status) return status.error();
    std::unique_ptr<Recorder> made(new Recorder(config));
    // Opened here, so that what is wrong with the place is known at once.
    if (Status status = made->open_segment(0); !status) return status.error();
    made->thread_ = std::thread([recorder = made.get()] { recorder->run(); });
    return made;
}

Recorder::Recorder(const RecorderConfig& config)
    : config_(config),
      segment_frames_(frames_from_seconds(config.segment_s, config.sample_rate_hz)),
      samples_(static_cast<std::size_t>(config.queue_s * config.sample_rate_hz)),
      blocks_(kMaxBlocks),
      chunk_(kChunkFrames) {}

Recorder::~Recorder() { static_cast<void>(close()); }

Status Recorder::open_segment(FrameIndex first_frame) {
    const std::chrono::milliseconds offset(
        std::llround(1000.0 * seconds_from_frames(first_frame, config_.sample_rate_hz)));
    const std::string stem = fmt::format("{}/{}-{}", config_.folder, config_.prefix,
                                         utc_name(config_.start_utc + offset));
    const char* extension = config_.format == RecordingFormat::flac ? "flac" : "wav";
    const SegmentFormat format{config_.format, config_.bits,
                               static_cast<int>(std::lround(config_.sample_rate_hz))};
    for (int i = 1;; ++i) {
        const std::string path = i == 1 ? fmt::format("{}.{}", stem, extension)
                                        : fmt::format("{}-{}.{}", stem, i, extension);
        struct stat info {};
        if (lstat(path.c_str(), &info) == 0 && i < kMaxSameName) continue;
        Result<std::unique_ptr<SegmentFile>> made = SegmentFile::create(path, format);
        if (!made) return made.error();
        segment_ = *std::move(made);
        next_frame_ = first_frame;
        segment_end_ = first_frame + segment_frames_;
        const std::lock_guard lock(mutex_);
        files_.push_back(path);
        return Done{};
    }
}

void Recorder::write(std::span<const float> audio, FrameIndex first_frame) noexcept {
    if (audio.empty() || closing_.load()) return;
    if (failed_.load() || samples_.write_available() < audio.size() ||
        blocks_.write_available() == 0) {
        dropped_ += static_cast<std::int64_t>(audio.size());
        return;
    }
    samples_.push(audio.data(), audio.size());
    blocks_.push({first_frame, static_cast<int>(audio.size())});
}

void Recorder::run() {
    while (true) {
        const bool last = closing_.load();
        Block block;
        while (blocks_.pop(block)) store(block);
        if (segment_) segment_->keep_safe(config_.fsync_s);
        if (last) break;
        std::this_thread::sleep_for(std::chrono::milliseconds(kPollMs));
    }
    if (!segment_) return;
    if (const Status status = segment_->finish(); !status) fail(status.error());
}

void Recorder::store(const Block& block) {
    Status status = segment_ ? fill_to(block.first_frame) : Status(Done{});
    for (int left = block.frames; left > 0;) {
        const auto size = std::min(static_cast<std::size_t>(left), chunk_.size());
        const auto audio = std::span(chunk_).first(samples_.pop(chunk_.data(), size));
        left -= static_cast<int>(audio.size());
        if (segment_ && status) status = append(audio);
        if (!segment_ || !status) dropped_ += static_cast<std::int64_t>(audio.size());
        if (segment_) segment_->keep_safe(config_.fsync_s);
    }
    if (!status && segment_) fail(status.error());
}

// What was lost before this block, or dropped here, keeps its time.
Status Recorder::fill_to(FrameIndex first_frame) {
    const FrameIndex missing = first_frame - next_frame_;
    if (missing <= 0) return Done{};
    if (missing > frames_from_seconds(kMaxFillS, config_.sample_rate_hz)) {
        if (Status status = segment_->finish(); !status) return status;
        return open_segment(first_frame);
    }
    const std::vector<float> zeros(static_cast<std::size_t>(missing), 0.0F);
    return append(zeros);
}

Status Recorder::append(std::span<const float> audio) {
    while (!audio.empty()) {
        if (next_frame_ == segment_end_) {
            if (Status status = segment_->finish(); !status) return status;
            if (Status status = open_segment(next_frame_); !status) return status;
        }
        const auto room = static_cast<std::size_t>(segment_end_ - next_frame_);
        const auto part = audio.first(std::min(audio.size(), room));
        if (Status status = segment_->append(part); !status) return status;
        next_frame_ += static_cast<FrameIndex>(part.size());
        audio = audio.subspan(part.size());
    }
    return Done{};
}

void Recorder::fail(const Error& error) {
    segment_.reset();
    failed_.store(true);
    const std::lock_guard lock(mutex_);
    if (status_) status_ = error;
}

Status Recorder::status() const {
    const std::lock_guard lock(mutex_);
    return status_;
}

std::vector<std::string> Recorder::files() const {
    const std::lock_guard lock(mutex_);
    return files_;
}

Status Recorder::close() {
    closing_.store(true);
    if (thread_.joinable()) thread_.join();
    return status();
}

}  // namespace skedlark::audio
