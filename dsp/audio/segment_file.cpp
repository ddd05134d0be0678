#include "dsp/audio/segment_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sndfile.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cmath>
#include <cstring>

namespace skedlark::audio {
namespace {

constexpr double kHeaderS = 0.5;
constexpr std::size_t kChunk = 4096;

SNDFILE* handle_of(void* file) { return static_cast<SNDFILE*>(file); }

bool is_full(int error) { return error == ENOSPC || error == EDQUOT || error == EFBIG; }

Error error_of(const std::string& path, int error, const std::string& said) {
    if (is_full(error)) {
        return {ErrorCode::disk_full,
                fmt::format("{}: no room left on the disk ({}); recording stopped, what was "
                            "written is kept",
                            path, std::strerror(error))};
    }
    return {ErrorCode::write_failed,
            fmt::format("{}: cannot be written: {}", path,
                        error != 0 ? std::string(std::strerror(error)) : said)};
}

}  // namespace

Result<std::unique_ptr<SegmentFile>> SegmentFile::create(const std::string& path,
                                                         const SegmentFormat& format) {
    const int descriptor = ::open(path.c_str(), O_RDWR | O_CREAT | O_EXCL | O_CLOEXEC, 0644);
    if (descriptor < 0) return error_of(path, errno, "");
    std::unique_ptr<SegmentFile> made(new SegmentFile(path, format, descriptor));
    SF_INFO info{};
    info.samplerate = format.rate_hz;
    info.channels = 1;
    info.format = (format.format == RecordingFormat::flac ? SF_FORMAT_FLAC : SF_FORMAT_WAV) |
                  (format.bits == 24 ? SF_FORMAT_PCM_24 : SF_FORMAT_PCM_16);
    errno = 0;
    made->file_ = sf_open_fd(descriptor, SFM_WRITE, &info, 0);
    if (made->file_ == nullptr) return error_of(path, errno, sf_strerror(nullptr));
    return made;
}

SegmentFile::SegmentFile(std::string path, const SegmentFormat& format, int descriptor)
    : path_(std::move(path)), format_(format), descriptor_(descriptor), numbers_(kChunk) {}

SegmentFile::~SegmentFile() {
    if (syncing_.valid()) syncing_.wait();
    if (file_ != nullptr) sf_close(handle_of(file_));
    if (descriptor_ >= 0) close(descriptor_);
}

Status SegmentFile::append(std::span<const float> audio) {
    // Scaled here, so that 16-bit samples of a sound card come back to the bit; the library would
    // scale by one step less than full scale.
    const double full_scale = format_.bits == 24 ? 8388608.0 : 32768.0;
    const int shift = 32 - format_.bits;
    while (!audio.empty()) {
        const std::size_t count = std::min(audio.size(), numbers_.size());
        for (std::size_t i = 0; i < count; ++i) {
            const double value = std::nearbyint(static_cast<double>(audio[i]) * full_scale);
            const auto number =
                static_cast<std::int64_t>(std::clamp(value, -full_scale, full_scale - 1.0));
            numbers_[i] = static_cast<std::int32_t>(number * (std::int64_t{1} << shift));
        }
        errno = 0;
        const auto frames = static_cast<sf_count_t>(count);
        if (sf_writef_int(handle_of(file_), numbers_.data(), frames) != frames) return failure();
        audio = audio.subspan(count);
    }
    return Done{};
}

Error SegmentFile::failure() const { return error_of(path_, errno, sf_strerror(handle_of(file_))); }

void SegmentFile::keep_safe(double fsync_s) {
    const auto now = Clock::now();
    const auto since = [now](Clock::time_point then) {
        return std::chrono::duration<double>(now - then).count();
    };
    if (format_.format == RecordingFormat::wav && since(header_done_) >= kHeaderS) {
        sf_command(handle_of(file_), SFC_UPDATE_HEADER_NOW, nullptr, 0);
        header_done_ = now;
    }
    const bool idle = !syncing_.valid() ||
                      syncing_.wait_for(std::chrono::seconds(0)) == std::future_status::ready;
    if (since(synced_) < fsync_s || !idle) return;
    // A slow disk takes seconds for it: on a thread of its own, or what is queued meanwhile would
    // be lost with a killed process.
    syncing_ = std::async(std::launch::async, [descriptor = descriptor_] { fsync(descriptor); });
    synced_ = now;
}

Status SegmentFile::finish() {
    if (syncing_.valid()) syncing_.wait();
    errno = 0;
    const int result = sf_close(handle_of(file_));
    file_ = nullptr;
    if (result != 0) return error_of(path_, errno, sf_error_number(result));
    errno = 0;
    if (fsync(descriptor_) != 0) return error_of(path_, errno, "");
    return Done{};
}

}  // namespace skedlark::audio
