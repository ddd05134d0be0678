#include "dsp/audio/pcm_stream.h"

#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <bit>
#include <cerrno>
#include <cstring>
#include <vector>

namespace skedlark::audio {
namespace {

constexpr std::size_t kBlockBytes = 65536;
constexpr int kWaitMs = 200;

// One little-endian sample; floats may come out as anything, Source cleans them.
float sample_of(const unsigned char* at, int bits, bool is_float) {
    std::uint64_t value = 0;
    for (int i = 0; i < bits / 8; ++i) value |= static_cast<std::uint64_t>(at[i]) << (8 * i);
    if (is_float && bits == 32) return std::bit_cast<float>(static_cast<std::uint32_t>(value));
    if (is_float) return static_cast<float>(std::bit_cast<double>(value));
    if (bits == 8) return (static_cast<float>(value) - 128.0F) / 128.0F;
    const auto top = static_cast<std::int32_t>(static_cast<std::uint32_t>(value << (32 - bits)));
    return static_cast<float>(static_cast<double>(top) / 2147483648.0);
}

class PcmStream final : public Source {
 public:
    PcmStream(Descriptor descriptor, std::string name, const PcmFormat& format,
              const FileOptions& options)
        : descriptor_(std::move(descriptor)),
          name_(std::move(name)),
          format_(format),
          channel_(options.mix ? -1 : options.channel - 1),
          is_file_(descriptor_.is_regular_file()),
          frame_bytes_(static_cast<std::size_t>(format.channels * format.bits / 8)),
          left_bytes_(format.data_bytes),
          bytes_(std::max(kBlockBytes, frame_bytes_)) {
        struct stat info {};
        if (is_file_ && fstat(descriptor_.number(), &info) == 0) {
            total_ = (info.st_size - lseek(descriptor_.number(), 0, SEEK_CUR)) /
                     static_cast<FrameIndex>(frame_bytes_);
        } else if (left_bytes_) {
            total_ = *left_bytes_ / static_cast<FrameIndex>(frame_bytes_);
        }
    }

    double sample_rate_hz() const override { return format_.rate_hz; }
    std::optional<FrameIndex> total_frames() const override { return total_; }
    std::string name() const override { return name_; }
    bool is_live() const override { return !is_file_; }

 private:
    Result<ReadResult> do_read(std::span<float> out) override;
    Result<ReadResult> at_end(ReadResult result);
    void convert(std::span<float> out) const;

    Descriptor descriptor_;
    std::string name_;
    PcmFormat format_;
    int channel_;  // from 0; -1: the mean of all
    bool is_file_;
    std::size_t frame_bytes_;
    std::optional<std::int64_t> left_bytes_;
    std::vector<unsigned char> bytes_;
    std::size_t kept_ = 0;  // bytes of a frame waiting for the rest of it
    std::optional<FrameIndex> total_;
    FrameIndex position_ = 0;
};

Result<ReadResult> PcmStream::do_read(std::span<float> out) {
    ReadResult result;
    result.first_frame = position_;
    if (out.empty()) return result;
    std::size_t wanted = std::min(out.size(), bytes_.size() / frame_bytes_) * frame_bytes_ - kept_;
    if (left_bytes_) {
        wanted =
            std::min(wanted, static_cast<std::size_t>(std::max<std::int64_t>(0, *left_bytes_)));
        if (wanted == 0) return at_end(result);
    }
    if (!is_file_) {
        const Descriptor::Ready ready = descriptor_.wait_for(1, kWaitMs);
        if (ready.bytes == 0 && !ready.finished) {
            result.end = stop_requested();
            return result;
        }
    }
    const ssize_t got = ::read(descriptor_.number(), bytes_.data() + kept_, wanted);
    if (got < 0) {
        if (errno == EINTR || errno == EAGAIN) return result;
        return Error{ErrorCode::unreadable,
                     fmt::format("{}: cannot read: {}", name_, std::strerror(errno))};
    }
    if (got == 0) return at_end(result);
    if (left_bytes_) *left_bytes_ -= got;
    const std::size_t have = kept_ + static_cast<std::size_t>(got);
    const std::size_t frames = have / frame_bytes_;
    convert(out.first(frames));
    kept_ = have - frames * frame_bytes_;
    std::memmove(bytes_.data(), bytes_.data() + frames * frame_bytes_, kept_);
    result.frames = static_cast<int>(frames);
    position_ += static_cast<FrameIndex>(frames);
    return result;
}

Result<ReadResult> PcmStream::at_end(ReadResult result) {
    if (left_bytes_.value_or(0) > 0) {
        return Error{ErrorCode::damaged,
                     fmt::format("{}: cut short: {} frames promised, {} ({:.3f} s) came", name_,
                                 total_.value_or(0), position_,
                                 seconds_from_frames(position_, format_.rate_hz))};
    }
    if (kept_ != 0) {
        return Error{ErrorCode::damaged,
                     fmt::format("{}: ends in the middle of a sample ({} bytes a frame, {} left "
                                 "over after {} frames)",
                                 name_, frame_bytes_, kept_, position_)};
    }
    result.end = true;
    return result;
}

void PcmStream::convert(std::span<float> out) const {
    const auto sample_bytes = static_cast<std::size_t>(format_.bits / 8);
    const auto channels = static_cast<std::size_t>(format_.channels);
    const float scale = 1.0F / static_cast<float>(channels);
    for (std::size_t i = 0; i < out.size(); ++i) {
        const unsigned char* frame = bytes_.data() + i * frame_bytes_;
        const auto sample = [&](std::size_t channel) {
            return sample_of(frame + channel * sample_bytes, format_.bits, format_.is_float);
        };
        if (channel_ >= 0) {
            out[i] = sample(static_cast<std::size_t>(channel_));
            continue;
        }
        float sum = 0.0F;
        for (std::size_t c = 0; c < channels; ++c) sum += sample(c);
        out[i] = sum * scale;
    }
}

}  // namespace

std::unique_ptr<Source> make_pcm_stream(Descriptor descriptor, std::string name,
                                        const PcmFormat& format, const FileOptions& options) {
    return std::make_unique<PcmStream>(std::move(descriptor), std::move(name), format, options);
}

}  // namespace skedlark::audio
