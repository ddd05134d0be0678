// Any source brought to the work rate, lost stretches filled, so that a frame index is a true time.
//
// Stage:   audio. In: a Source. Out: a Source of kWorkRateHz with consecutive frame indices.
// Units:   work-rate frames. Samples under half the step of a 24-bit converter are handed out as 0.
// Shape:   as Source; same samples for any block split. A block is either all heard or all lost.
// Time:    frame n stands at n / kWorkRateHz of the input. Lost frames become zeros in blocks with
//          `lost` set; the first block of a stretch carries lost_reason. A loss of unknown length
//          is told by lost_reason alone, on the block after it. lost_frames is always 0.
// Errors:  those of the source, after everything before them was given.
// Threads: as Source.
// Source:  none
// Checked: tests/dsp/audio/work_rate_source_test.cpp
#pragma once

#include <deque>
#include <memory>
#include <vector>

#include "dsp/audio/resampler.h"
#include "dsp/audio/source.h"

namespace skedlark::audio {

class WorkRateSource final : public Source {
 public:
    [[nodiscard]] static Result<std::unique_ptr<WorkRateSource>> create(
        std::unique_ptr<Source> source);

    double sample_rate_hz() const override { return kWorkRateHz; }
    std::optional<FrameIndex> total_frames() const override;
    std::string name() const override { return source_->name(); }
    bool is_live() const override { return source_->is_live(); }
    std::int64_t bad_samples() const noexcept override { return source_->bad_samples(); }
    void request_stop() noexcept override;

 private:
    struct LostStretch {
        FrameIndex from = 0;  // work frames
        FrameIndex to = 0;
        std::string reason;
        bool told = false;
    };

    WorkRateSource(std::unique_ptr<Source> source, Resampler resampler);
    Result<ReadResult> do_read(std::span<float> out) override;
    Result<ReadResult> hand_out(std::span<float> out);
    bool pull();  // false: the source has nothing now
    void add_lost(const ReadResult& block);
    void feed_zeros();
    void make(int written);
    [[nodiscard]] double to_work(FrameIndex frame) const;

    std::unique_ptr<Source> source_;
    Resampler resampler_;
    std::vector<float> input_;
    int input_at_ = 0;
    int input_size_ = 0;
    FrameIndex input_position_ = 0;  // source frames given to the resampler or skipped
    FrameIndex zeros_due_ = 0;       // lost source frames still to be fed as zeros
    FrameIndex zeros_fed_ = 0;       // in one row
    FrameIndex silent_out_ = 0;      // work frames of zeros to hand out before anything else
    std::vector<float> made_;
    int made_at_ = 0;
    int made_size_ = 0;
    FrameIndex position_ = 0;  // next work frame to hand out
    std::deque<LostStretch> lost_;
    bool ended_ = false;
    std::optional<Error> error_;
};

}  // namespace skedlark::audio
