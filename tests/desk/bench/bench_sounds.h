// Sound as the hub hands it to the bench, and takes made of it.
//
// Stage:   tests. Units: work-rate audio.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "gui/bench/bench_model.h"
#include "tests/dsp/bench/test_series.h"
#include "tests/dsp/bench/test_tone.h"

namespace skedlark::gui::test {

using bench::test::made;
using bench::test::TestReceiver;
using bench::test::TestTone;

// A block of 50 ms after the other; begins and ends the input about it.
class HubOf {
 public:
    explicit HubOf(AudioUser& user) : user_(user) {}
    void begin(bool live = true) {
        user_.begin({.name = live ? "card" : "set.wav", .live = live});
        frame_ = 0;
    }
    void hear(const std::vector<float>& audio, bool lost = false) {
        for (std::size_t at = 0; at < audio.size(); at += 400) {
            const std::size_t frames = std::min<std::size_t>(400, audio.size() - at);
            user_.take({std::span(audio).subspan(at, frames), lost, {}}, frame_);
            frame_ += static_cast<FrameIndex>(frames);
        }
    }
    void end() { user_.end(); }

 private:
    AudioUser& user_;
    FrameIndex frame_ = 0;
};

inline BenchTake take_of(std::vector<float> audio) {
    BenchTake take;
    take.seconds = static_cast<double>(audio.size()) / kWorkRateHz;
    take.audio = std::make_shared<const std::vector<float>>(std::move(audio));
    take.input = "card";
    take.live = true;
    return take;
}

inline const bench::Measurement* find(const BenchDone& done, const std::string& name) {
    for (const bench::Measurement& m : done.sheet.report.measurements) {
        if (m.name == name) return &m;
    }
    return nullptr;
}
inline double value(const BenchDone& done, const std::string& name) {
    const auto* m = find(done, name);
    return m != nullptr ? m->figure.value : -1e9;
}

}  // namespace skedlark::gui::test
