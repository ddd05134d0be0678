#include "dsp/audio/work_rate_source.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

namespace skedlark::audio {
namespace {

constexpr int kBlockFrames = 4096;
// After this many zeros nothing but zeros is left inside the resampler.
constexpr double kSettledS = 0.5;
// Half the step of a 24-bit converter, the finest there is. What is smaller is no sound but the
// resampler's rounding beside one, and digital silence must come through as that.
constexpr float kLeastSample = 0x1p-24F;

}  // namespace

Result<std::unique_ptr<WorkRateSource>> WorkRateSource::create(std::unique_ptr<Source> source) {
    Result<Resampler> resampler = Resampler::create(source->sample_rate_hz());
    if (!resampler) {
        return Error{resampler.error().code, source->name() + ": " + resampler.error().message};
    }
    return std::unique_ptr<WorkRateSource>(
        new WorkRateSource(std::move(source), *std::move(resampler)));
}

WorkRateSource::WorkRateSource(std::unique_ptr<Source> source, Resampler resampler)
    : source_(std::move(source)),
      resampler_(std::move(resampler)),
      input_(kBlockFrames),
      made_(kBlockFrames) {}

double WorkRateSource::to_work(FrameIndex frame) const {
    return static_cast<double>(frame) * kWorkRateHz / source_->sample_rate_hz();
}

std::optional<FrameIndex> WorkRateSource::total_frames() const {
    const auto total = source_->total_frames();
    if (!total) return std::nullopt;
    return static_cast<FrameIndex>(std::ceil(to_work(*total) - 1e-6));
}

void WorkRateSource::request_stop() noexcept {
    Source::request_stop();
    source_->request_stop();
}

Result<ReadResult> WorkRateSource::do_read(std::span<float> out) {
    ReadResult result;
    result.first_frame = position_;
    if (out.empty()) return result;
    while (silent_out_ == 0 && made_at_ == made_size_) {
        if (zeros_due_ > 0) {
            feed_zeros();
        } else if (input_at_ < input_size_) {
            const std::span<const float> rest(input_.data() + input_at_,
                                              static_cast<std::size_t>(input_size_ - input_at_));
            const Resampler::Progress progress = resampler_.process(rest, made_);
            input_at_ += progress.taken;
            input_position_ += progress.taken;
            make(progress.written);
        } else if (ended_) {
            make(resampler_.flush(made_));
            if (made_size_ > 0) continue;
            if (error_) return *error_;
            result.end = true;
            return result;
        } else if (!pull()) {
            return result;
        }
    }
    return hand_out(out);
}

bool WorkRateSource::pull() {
    const Result<ReadResult> block = source_->read(input_);
    input_at_ = 0;
    input_size_ = 0;
    if (!block) {
        error_ = block.error();
        ended_ = true;
        return true;
    }
    if (block->lost_frames > 0 || !block->lost_reason.empty()) add_lost(*block);
    input_size_ = block->frames;
    ended_ = block->end;
    if (block->frames > 0) zeros_fed_ = 0;
    return block->frames > 0 || block->lost_frames > 0 || ended_;
}

void WorkRateSource::add_lost(const ReadResult& block) {
    const FrameIndex from = static_cast<FrameIndex>(std::floor(to_work(input_position_)));
    const FrameIndex to =
        block.lost_frames == 0
            ? from
            : static_cast<FrameIndex>(std::ceil(to_work(input_position_ + block.lost_frames)));
    // A device that stays away is told once, however many pieces the gap comes in.
    const bool goes_on = !lost_.empty() && block.lost_frames > 0 && lost_.back().to >= from &&
                         lost_.back().to > lost_.back().from && zeros_fed_ > 0;
    if (goes_on) {
        lost_.back().to = to;
    } else {
        lost_.push_back({from, to, block.lost_reason, false});
    }
    zeros_due_ += block.lost_frames;
}

void WorkRateSource::feed_zeros() {
    // With only zeros inside, whole periods of the two rates change nothing and can be left out:
    // a night without a device costs no work.
    const double rate_hz = source_->sample_rate_hz();
    if (static_cast<double>(zeros_fed_) > kSettledS * rate_hz && rate_hz == std::floor(rate_hz)) {
        const auto in_rate = static_cast<FrameIndex>(rate_hz);
        const auto out_rate = static_cast<FrameIndex>(kWorkRateHz);
        const FrameIndex divisor = std::gcd(in_rate, out_rate);
        const FrameIndex periods = zeros_due_ / (in_rate / divisor);
        zeros_due_ -= periods * (in_rate / divisor);
        input_position_ += periods * (in_rate / divisor);
        silent_out_ += periods * (out_rate / divisor);
        if (zeros_due_ == 0) return;
    }
    static constexpr std::array<float, 1024> kZeros{};
    const auto count = static_cast<std::size_t>(
        std::min<FrameIndex>(zeros_due_, static_cast<FrameIndex>(kZeros.size())));
    const auto progress = resampler_.process(std::span(kZeros).first(count), made_);
    zeros_due_ -= progress.taken;
    zeros_fed_ += progress.taken;
    input_position_ += progress.taken;
    make(progress.written);
}

void WorkRateSource::make(int written) {
    made_at_ = 0;
    made_size_ = written;
    for (float& sample : std::span(made_).first(static_cast<std::size_t>(written))) {
        if (std::abs(sample) < kLeastSample) sample = 0.0F;
    }
}

Result<ReadResult> WorkRateSource::hand_out(std::span<float> out) {
    ReadResult result;
    result.first_frame = position_;
    const bool silent = silent_out_ > 0;
    FrameIndex count = silent ? silent_out_ : made_size_ - made_at_;
    count = std::min(count, static_cast<FrameIndex>(out.size()));

    while (!lost_.empty() && lost_.front().told && lost_.front().to <= position_) {
        lost_.pop_front();
    }
    if (!lost_.empty()) {
        LostStretch& next = lost_.front();
        if (next.from > position_) {
            count = std::min(count, next.from - position_);
        } else {
            if (!next.told) result.lost_reason = next.reason;
            next.told = true;
            result.lost = next.to > position_;
            if (result.lost) count = std::min(count, next.to - position_);
        }
    }
    const auto size = static_cast<std::size_t>(count);
    if (silent || result.lost) {
        std::fill_n(out.begin(), size, 0.0F);
    } else {
        std::copy_n(made_.begin() + made_at_, size, out.begin());
    }
    if (silent) {
        silent_out_ -= count;
    } else {
        made_at_ += static_cast<int>(count);
    }
    result.frames = static_cast<int>(count);
    position_ += count;
    return result;
}

}  // namespace skedlark::audio
