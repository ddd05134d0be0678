#include "dsp/watch/audio_history.h"

#include <algorithm>
#include <cassert>

namespace skedlark::watch {

namespace {
constexpr FrameIndex kPiece = 4000;  // frames handed to a visitor at once
}

AudioHistory::AudioHistory(FrameIndex capacity_frames)
    : ring_(static_cast<std::size_t>(capacity_frames), 0.0F) {
    assert(capacity_frames > 0);
}

FrameIndex AudioHistory::begin_frame() const {
    return std::max<FrameIndex>(0, end_ - static_cast<FrameIndex>(ring_.size()));
}

void AudioHistory::add(std::span<const float> audio, bool lost) {
    if (audio.empty()) {
        return;
    }
    const auto size = static_cast<FrameIndex>(ring_.size());
    for (const float sample : audio) {
        ring_[static_cast<std::size_t>(end_ % size)] = sample;
        ++end_;
    }
    if (lost) {
        const FrameIndex from = end_ - static_cast<FrameIndex>(audio.size());
        if (!lost_.empty() && lost_.back().to == from) {
            lost_.back().to = end_;
        } else {
            lost_.push_back({from, end_});
        }
    }
    while (!lost_.empty() && lost_.front().to <= begin_frame()) {
        lost_.pop_front();
    }
}

std::vector<AudioHistory::Run> AudioHistory::runs_from(FrameIndex from_frame) const {
    std::vector<Run> runs;
    FrameIndex at = std::max(from_frame, begin_frame());
    const auto add_run = [&](FrameIndex to, bool lost) {
        while (at < to) {
            const FrameIndex piece_end = std::min(to, at + kPiece);
            runs.push_back({at, piece_end, lost});
            at = piece_end;
        }
    };
    for (const Stretch& stretch : lost_) {
        add_run(stretch.from, false);
        add_run(stretch.to, true);
    }
    add_run(end_, false);
    return runs;
}

void AudioHistory::forwards(FrameIndex from_frame, const Visitor& visit) const {
    const auto size = static_cast<FrameIndex>(ring_.size());
    std::vector<float> samples;
    for (const Run& run : runs_from(from_frame)) {
        samples.clear();
        for (FrameIndex i = run.from; i < run.to; ++i) {
            samples.push_back(ring_[static_cast<std::size_t>(i % size)]);
        }
        visit(samples, run.lost);
    }
}

void AudioHistory::backwards(FrameIndex from_frame, const Visitor& visit) const {
    const auto size = static_cast<FrameIndex>(ring_.size());
    const std::vector<Run> runs = runs_from(from_frame);
    std::vector<float> samples;
    for (auto run = runs.rbegin(); run != runs.rend(); ++run) {
        samples.clear();
        for (FrameIndex i = run->to; i-- > run->from;) {
            samples.push_back(ring_[static_cast<std::size_t>(i % size)]);
        }
        visit(samples, run->lost);
    }
}

}  // namespace skedlark::watch
