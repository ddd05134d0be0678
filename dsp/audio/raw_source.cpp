#include "dsp/audio/raw_source.h"

#include <fmt/format.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>

namespace skedlark::audio {
namespace {

constexpr int kBlockFrames = 4096;
constexpr int kWaitMs = 200;

class RawSource final : public Source {
 public:
    RawSource(Descriptor descriptor, std::string name, double rate_hz)
        : descriptor_(std::move(descriptor)),
          name_(std::move(name)),
          rate_hz_(rate_hz),
          is_file_(descriptor_.is_regular_file()) {
        struct stat info {};
        if (is_file_ && fstat(descriptor_.number(), &info) == 0) total_ = info.st_size / 2;
    }

    double sample_rate_hz() const override { return rate_hz_; }
    std::optional<FrameIndex> total_frames() const override { return total_; }
    std::string name() const override { return name_; }
    bool is_live() const override { return !is_file_; }

 private:
    Result<ReadResult> do_read(std::span<float> out) override {
        ReadResult result;
        result.first_frame = position_;
        if (out.empty()) return result;
        if (!is_file_) {
            const Descriptor::Ready ready = descriptor_.wait_for(1, kWaitMs);
            if (ready.bytes == 0 && !ready.finished) {
                result.end = stop_requested();
                return result;
            }
        }
        const std::size_t wanted = std::min<std::size_t>(out.size(), kBlockFrames);
        const ssize_t got = ::read(descriptor_.number(), bytes_.data() + kept_, 2 * wanted - kept_);
        if (got < 0) {
            if (errno == EINTR || errno == EAGAIN) return result;
            return Error{ErrorCode::unreadable,
                         fmt::format("{}: cannot read: {}", name_, std::strerror(errno))};
        }
        if (got == 0) return at_end(result);
        convert(kept_ + static_cast<std::size_t>(got), out, result);
        return result;
    }

    Result<ReadResult> at_end(ReadResult result) const {
        if (kept_ != 0) {
            return Error{ErrorCode::damaged,
                         fmt::format("{}: ends in the middle of a sample (raw 16-bit needs an even "
                                     "number of bytes)",
                                     name_)};
        }
        result.end = true;
        return result;
    }

    void convert(std::size_t bytes, std::span<float> out, ReadResult& result) {
        const std::size_t frames = bytes / 2;
        for (std::size_t i = 0; i < frames; ++i) {
            const unsigned value = bytes_[2 * i] | static_cast<unsigned>(bytes_[2 * i + 1]) << 8U;
            const auto number = static_cast<std::int16_t>(static_cast<std::uint16_t>(value));
            out[i] = static_cast<float>(number) / 32768.0F;
        }
        kept_ = bytes % 2;
        if (kept_ != 0) bytes_[0] = bytes_[bytes - 1];
        result.frames = static_cast<int>(frames);
        position_ += static_cast<FrameIndex>(frames);
    }

    Descriptor descriptor_;
    std::string name_;
    double rate_hz_;
    bool is_file_;
    std::optional<FrameIndex> total_;
    std::array<unsigned char, 2 * static_cast<std::size_t>(kBlockFrames)> bytes_{};
    std::size_t kept_ = 0;  // half a sample waiting for its other half
    FrameIndex position_ = 0;
};

}  // namespace

std::unique_ptr<Source> make_raw_source(Descriptor descriptor, std::string name, double rate_hz) {
    return std::make_unique<RawSource>(std::move(descriptor), std::move(name), rate_hz);
}

}  // namespace skedlark::audio
