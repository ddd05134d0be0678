#include "dsp/audio/sound_file.h"

#include <fcntl.h>
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
// After damage in mid-file reading is tried again this much further on, then further by this factor
// each time: at most a quarter more than the damage is lost, and hours are passed in 50 tries.
constexpr double kFirstSkipS = 0.05;
constexpr double kSkipGrowth = 1.25;
// Frame counts from here on are placeholders, not lengths.
constexpr sf_count_t kUnknownFrames = sf_count_t{1} << 56;

struct SndfileCloser {
    void operator()(SNDFILE* file) const { sf_close(file); }
};
using SndfileHandle = std::unique_ptr<SNDFILE, SndfileCloser>;

// The library closes what it fails to open, so it gets a descriptor of its own.
SndfileHandle open_handle(const Descriptor& descriptor, SF_INFO& info) {
    const int own = fcntl(descriptor.number(), F_DUPFD_CLOEXEC, 0);
    return SndfileHandle(own < 0 ? nullptr : sf_open_fd(own, SFM_READ, &info, 1));
}

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
          frame_bytes_(bytes_per_sample(info.format) * info.channels),
          block_frames_(std::clamp(kMaxBlockItems / info.channels, 64, kBlockFrames)) {
        interleaved_.resize(static_cast<std::size_t>(block_frames_) *
                            static_cast<std::size_t>(info.channels));
        find_total();
    }

    double sample_rate_hz() const override { return info_.samplerate; }
    std::optional<FrameIndex> total_frames() const override { return total_; }
    std::string name() const override { return name_; }
    bool is_live() const override { return false; }

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
    int channel_;      // from 0; -1: the mean of all
    int frame_bytes_;  // 0: not fixed
    int block_frames_;
    std::vector<float> interleaved_;
    std::optional<FrameIndex> total_;     // what can be read, as the header says
    std::optional<FrameIndex> promised_;  // what the header promises, where that is more or surer
    FrameIndex position_ = 0;             // lost frames counted
    std::optional<Error> damage_;
};

void SoundFile::find_total() {
    if (info_.frames < kUnknownFrames) {
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
    const int wanted = static_cast<int>(std::min<std::size_t>(out.size(), block_frames_));
    if (wanted == 0) return result;
    const sf_count_t got = sf_readf_float(file_.get(), interleaved_.data(), wanted);
    if (got <= 0) {
        const bool more_promised = total_ && position_ < *total_;
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
    double skip_s = kFirstSkipS;
    for (;; skip_s *= kSkipGrowth) {
        const FrameIndex lost = frames_from_seconds(skip_s, info_.samplerate);
        if (position_ + lost >= *total_) return std::nullopt;
        if (lseek(descriptor_.number(), 0, SEEK_SET) != 0) return std::nullopt;
        SF_INFO info{};
        file_.reset();
        file_ = open_handle(descriptor_, info);
        if (!file_ || info.channels != info_.channels) return std::nullopt;
        if (sf_seek(file_.get(), position_ + lost, SEEK_SET) != position_ + lost) continue;
        const sf_count_t got = sf_readf_float(file_.get(), interleaved_.data(), 1);
        if (got == 1 && sf_seek(file_.get(), position_ + lost, SEEK_SET) == position_ + lost) {
            return lost;
        }
    }
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
    if (!total_ && is_ogg(info_.format)) {
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
    SndfileHandle file = open_handle(descriptor, info);
    if (!file) return open_error(descriptor, name);
    if (Status status = check_format(name, info.samplerate, info.channels, options); !status) {
        return status.error();
    }
    return std::unique_ptr<Source>(
        std::make_unique<SoundFile>(std::move(descriptor), std::move(file), info, name, options));
}

}  // namespace skedlark::audio
