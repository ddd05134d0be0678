#include "dsp/audio/sound_file.h"

#include <fmt/format.h>
#include <sndfile.h>
#include <unistd.h>

#include <algorithm>
#include <limits>
#include <vector>

#include "dsp/audio/container_size.h"

namespace skedlark::audio {
namespace {

constexpr int kBlockFrames = 4096;
constexpr int kMaxBlockItems = 65536;  // frames times channels
constexpr int kWaitMs = 200;
// After damage in mid-file reading is tried again this much further on, this often at most.
constexpr double kSkipS = 0.1;
constexpr int kMaxSkips = 600;
// Frame counts from here on are placeholders, not lengths (55,000 years at 48 kHz for a 64-bit
// count; 0x7FFFF000 bytes for a 32-bit one).
constexpr sf_count_t kUnknownFrames = sf_count_t{1} << 56;
constexpr sf_count_t kPlaceholderBytes = 0x7FFFF000;

struct SndfileCloser {
    void operator()(SNDFILE* file) const { sf_close(file); }
};
using SndfileHandle = std::unique_ptr<SNDFILE, SndfileCloser>;

// 0 where a frame has no fixed size.
int bytes_per_sample(int format) {
    switch (format & SF_FORMAT_SUBMASK) {
        case SF_FORMAT_PCM_S8:
        case SF_FORMAT_PCM_U8:
        case SF_FORMAT_ULAW:
        case SF_FORMAT_ALAW:
            return 1;
        case SF_FORMAT_PCM_16:
            return 2;
        case SF_FORMAT_PCM_24:
            return 3;
        case SF_FORMAT_PCM_32:
        case SF_FORMAT_FLOAT:
            return 4;
        case SF_FORMAT_DOUBLE:
            return 8;
        default:
            return 0;
    }
}

bool is_ogg(int format) { return (format & SF_FORMAT_TYPEMASK) == SF_FORMAT_OGG; }

class SoundFile final : public Source {
 public:
    SoundFile(Descriptor descriptor, SndfileHandle file, const SF_INFO& info, std::string name,
              const FileOptions& options)
        : descriptor_(std::move(descriptor)),
          file_(std::move(file)),
          info_(info),
          name_(std::move(name)),
          channel_(options.mix ? -1 : options.channel - 1),
          is_file_(descriptor_.is_regular_file()),
          frame_bytes_(bytes_per_sample(info.format) * info.channels),
          block_frames_(std::clamp(kMaxBlockItems / info.channels, 64, kBlockFrames)) {
        interleaved_.resize(static_cast<std::size_t>(block_frames_) *
                            static_cast<std::size_t>(info.channels));
        find_total();
    }

    double sample_rate_hz() const override { return info_.samplerate; }
    std::optional<FrameIndex> total_frames() const override { return total_; }
    std::string name() const override { return name_; }
    bool is_live() const override { return !is_file_; }

 private:
    void find_total();
    Result<ReadResult> do_read(std::span<float> out) override;
    Result<ReadResult> at_end(ReadResult result);
    std::optional<FrameIndex> skip_damage();
    void take_channel(std::span<float> out) const;

    Descriptor descriptor_;
    SndfileHandle file_;
    SF_INFO info_;
    std::string name_;
    int channel_;  // from 0; -1: the mean of all
    bool is_file_;
    int frame_bytes_;  // 0: not fixed
    int block_frames_;
    std::vector<float> interleaved_;
    std::optional<FrameIndex> total_;     // what can be read, as the header says
    std::optional<FrameIndex> promised_;  // what the header promises, where that is more or surer
    FrameIndex position_ = 0;             // lost frames counted
    std::optional<Error> damage_;
};

void SoundFile::find_total() {
    const bool known =
        info_.frames < kUnknownFrames &&
        (is_file_ || frame_bytes_ == 0 || info_.frames < kPlaceholderBytes / frame_bytes_);
    // RF64 through a pipe is counted wrongly by the library, so its promise is not held against it.
    const bool trusted = is_file_ || (info_.format & SF_FORMAT_TYPEMASK) != SF_FORMAT_RF64;
    if (known && trusted) {
        total_ = info_.frames;
        promised_ = info_.frames;
    }
    const auto size = container_size(descriptor_.number());
    if (size && frame_bytes_ > 0 && size->promised_bytes > size->present_bytes) {
        promised_ = size->promised_bytes / frame_bytes_;
    }
}

Result<ReadResult> SoundFile::do_read(std::span<float> out) {
    ReadResult result;
    result.first_frame = position_;
    if (damage_) return *damage_;
    int wanted = static_cast<int>(std::min<std::size_t>(out.size(), block_frames_));
    if (wanted == 0) return result;
    if (!is_file_) {
        const int unit_bytes = std::max(frame_bytes_, 1);
        const Descriptor::Ready ready = descriptor_.wait_for(unit_bytes, kWaitMs);
        if (ready.bytes < unit_bytes && !ready.finished) {
            result.end = stop_requested();
            return result;
        }
        // Ask only for what is there, so that a slow writer never holds the reader.
        if (frame_bytes_ > 0 && !ready.finished) {
            wanted = static_cast<int>(std::min<std::int64_t>(wanted, ready.bytes / frame_bytes_));
        }
    }
    const sf_count_t got = sf_readf_float(file_.get(), interleaved_.data(), wanted);
    if (got <= 0) {
        const bool more_promised = is_file_ && total_ && position_ < *total_;
        if (more_promised && sf_error(file_.get()) != SF_ERR_NO_ERROR) {
            if (const auto lost = skip_damage()) {
                position_ += *lost;
                result.first_frame = position_;
                result.lost_frames = *lost;
                result.lost_reason = fmt::format("{}: damaged stretch", name_);
                return result;
            }
        }
        return at_end(result);
    }
    take_channel(out.first(static_cast<std::size_t>(got)));
    result.frames = static_cast<int>(got);
    position_ += got;
    return result;
}

// A decoder that met damage stays stuck; a fresh one further on in the same file does not.
std::optional<FrameIndex> SoundFile::skip_damage() {
    const auto step = static_cast<FrameIndex>(kSkipS * info_.samplerate);
    FrameIndex lost = step;
    for (int i = 0; i < kMaxSkips && position_ + lost < *total_; ++i, lost += step) {
        if (lseek(descriptor_.number(), 0, SEEK_SET) != 0) return std::nullopt;
        SF_INFO info{};
        file_.reset();
        file_.reset(sf_open_fd(descriptor_.number(), SFM_READ, &info, 0));
        if (!file_ || info.channels != info_.channels) return std::nullopt;
        if (sf_seek(file_.get(), position_ + lost, SEEK_SET) != position_ + lost) continue;
        const sf_count_t got = sf_readf_float(file_.get(), interleaved_.data(), 1);
        if (got == 1 && sf_seek(file_.get(), position_ + lost, SEEK_SET) == position_ + lost) {
            return lost;
        }
    }
    return std::nullopt;
}

Result<ReadResult> SoundFile::at_end(ReadResult result) {
    const double rate_hz = info_.samplerate;
    const double there_s = seconds_from_frames(position_, rate_hz);
    if (promised_ && position_ < *promised_) {
        damage_ = Error{ErrorCode::damaged,
                        fmt::format("{}: damaged or cut short: the header promises {} frames "
                                    "({:.3f} s), {} ({:.3f} s) could be read",
                                    name_, *promised_, seconds_from_frames(*promised_, rate_hz),
                                    position_, there_s)};
        return *damage_;
    }
    if (file_ && sf_error(file_.get()) != SF_ERR_NO_ERROR) {
        damage_ = Error{ErrorCode::damaged, fmt::format("{}: damaged after {:.3f} s: {}", name_,
                                                        there_s, sf_strerror(file_.get()))};
        return *damage_;
    }
    // A whole Ogg file tells its length in its last page.
    if (is_file_ && !total_ && is_ogg(info_.format)) {
        damage_ = Error{
            ErrorCode::damaged,
            fmt::format("{}: cut short: no last page, {:.3f} s could be read", name_, there_s)};
        return *damage_;
    }
    result.end = true;
    return result;
}

void SoundFile::take_channel(std::span<float> out) const {
    const auto channels = static_cast<std::size_t>(info_.channels);
    const float scale = 1.0F / static_cast<float>(info_.channels);
    for (std::size_t i = 0; i < out.size(); ++i) {
        const float* frame = interleaved_.data() + i * channels;
        if (channel_ >= 0) {
            out[i] = frame[channel_];
            continue;
        }
        float sum = 0.0F;
        for (std::size_t c = 0; c < channels; ++c) sum += frame[c];
        out[i] = sum * scale;
    }
}

Error open_error(const Descriptor& descriptor, const std::string& name) {
    const int reason = sf_error(nullptr);
    const std::string said = sf_strerror(nullptr);
    if (!descriptor.is_regular_file()) {
        return {
            ErrorCode::damaged,
            fmt::format("{}: not a sound stream that can be read (a pipe must carry WAV, or raw "
                        "samples with their rate given): {}",
                        name, said)};
    }
    if (lseek(descriptor.number(), 0, SEEK_END) == 0) {
        return {ErrorCode::damaged, fmt::format("{}: the file is empty", name)};
    }
    if (reason == SF_ERR_UNSUPPORTED_ENCODING) {
        return {ErrorCode::unsupported,
                fmt::format("{}: kind of sound file not known: {}", name, said)};
    }
    return {ErrorCode::damaged,
            fmt::format("{}: not a sound file, or its header is damaged: {}", name, said)};
}

}  // namespace

Result<std::unique_ptr<Source>> open_sound_file(Descriptor descriptor, const std::string& name,
                                                const FileOptions& options) {
    SF_INFO info{};
    SndfileHandle file(sf_open_fd(descriptor.number(), SFM_READ, &info, 0));
    if (!file) return open_error(descriptor, name);
    if (info.samplerate < kMinSampleRateHz || info.samplerate > kMaxSampleRateHz) {
        return Error{ErrorCode::unsupported,
                     fmt::format("{}: sample rate {} Hz is outside {} to {} Hz", name,
                                 info.samplerate, kMinSampleRateHz, kMaxSampleRateHz)};
    }
    if (info.channels < 1) {
        return Error{ErrorCode::damaged, fmt::format("{}: has no channels", name)};
    }
    if (!options.mix && options.channel > info.channels) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{}: channel {} does not exist: the file has 1 to {}", name,
                                 options.channel, info.channels)};
    }
    if (!descriptor.is_regular_file() && (info.format & SF_FORMAT_TYPEMASK) == SF_FORMAT_CAF) {
        return Error{ErrorCode::unsupported,
                     fmt::format("{}: CAF cannot be read from a pipe; give it as a file", name)};
    }
    return std::unique_ptr<Source>(
        std::make_unique<SoundFile>(std::move(descriptor), std::move(file), info, name, options));
}

}  // namespace skedlark::audio
