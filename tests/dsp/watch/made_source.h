// A Source that gives what a test tells it to.
#pragma once

#include <algorithm>
#include <vector>

#include "dsp/audio/source.h"

namespace skedlark::watch {

class MadeSource final : public audio::Source {
 public:
    explicit MadeSource(std::vector<float> audio, double rate_hz = kWorkRateHz)
        : audio_(std::move(audio)), rate_hz_(rate_hz) {}

    // The read after the last sample fails instead of ending.
    std::optional<Error> fails_with{};

    double sample_rate_hz() const override { return rate_hz_; }
    std::optional<FrameIndex> total_frames() const override {
        return static_cast<FrameIndex>(audio_.size());
    }
    std::string name() const override { return "made"; }
    bool is_live() const override { return false; }

 private:
    Result<audio::ReadResult> do_read(std::span<float> out) override {
        audio::ReadResult read;
        read.first_frame = static_cast<FrameIndex>(at_);
        if (stop_requested() || (at_ == audio_.size() && !fails_with)) {
            read.end = true;
            return read;
        }
        if (at_ == audio_.size()) {
            return *fails_with;
        }
        const std::size_t part = std::min(out.size(), audio_.size() - at_);
        std::copy_n(audio_.begin() + static_cast<std::ptrdiff_t>(at_), part, out.begin());
        at_ += part;
        read.frames = static_cast<int>(part);
        return read;
    }

    std::vector<float> audio_;
    double rate_hz_;
    std::size_t at_ = 0;
};

}  // namespace skedlark::watch
