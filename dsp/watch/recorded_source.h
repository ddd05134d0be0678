// A source that is also written to disk while it is read.
//
// Stage:   watch. In: an audio::Source and a Recorder of its rate. Out: the same Source.
// Units:   as the source.
// Shape:   as the source. Lost stretches are not written; the recorder fills or splits there.
// Time:    as the source.
// Errors:  those of the source. What goes wrong on the disk stands in the recorder's status().
// Threads: as Source.
// Source:  none
// Checked: tests/dsp/watch/recorded_source_test.cpp
#pragma once

#include <memory>

#include "dsp/audio/recorder.h"
#include "dsp/audio/source.h"

namespace skedlark::watch {

class RecordedSource final : public audio::Source {
 public:
    // recorder must outlive this.
    RecordedSource(std::unique_ptr<audio::Source> source, audio::Recorder& recorder)
        : source_(std::move(source)), recorder_(recorder) {}

    double sample_rate_hz() const override { return source_->sample_rate_hz(); }
    std::optional<FrameIndex> total_frames() const override { return source_->total_frames(); }
    std::string name() const override { return source_->name(); }
    bool is_live() const override { return source_->is_live(); }
    std::int64_t bad_samples() const noexcept override { return source_->bad_samples(); }
    void request_stop() noexcept override {
        Source::request_stop();
        source_->request_stop();
    }

 private:
    Result<audio::ReadResult> do_read(std::span<float> out) override;

    std::unique_ptr<audio::Source> source_;
    audio::Recorder& recorder_;
};

}  // namespace skedlark::watch
