// Finds tones with the dial at rest, names their odds, and tells keyed from steady.
//
// Stage:   tone. In: work-rate audio. Out: ToneEvent when a tone is found, and when its verdict
//          changes.
// Units:   hertz; audio 1.0 = full scale; snr_2500hz_db with the key down.
// Shape:   any number of samples a call; the same events for any split.
// Time:    a strong tone is told after 5 s, one at -24 dB after 20 s, weaker ones after 37 s.
// Errors:  create() returns invalid_value; process() cannot fail. Samples that are not finite count
//          as 0.
// Threads: one thread per instance; process() allocates only where out or the list of tones grows.
// Source:  line_search.h twice (drift up to 0.02 Hz/s; up to 1 Hz/s at some cost), keying_test.h,
//          constant false-alarm rate by the noise floor of each frequency (noise_floor.h).
// Checked: tests/dsp/tone/finder_test.cpp; curves by tests/accuracy/detection
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "dsp/core/events.h"
#include "dsp/core/result.h"

namespace skedlark::tone {

struct FinderConfig {
    double low_hz = 200.0;               // 20 to below high_hz
    double high_hz = 3000.0;             // above low_hz, to 3980
    double false_alarms_per_hour = 1.0;  // above 0, to 1000: over the whole span, from noise alone
    double forget_s = 60.0;              // 5 to 3600: a tone not heard for so long leaves the list
    FrameIndex start_frame = 0;          // index of the first sample that will come
};

struct FoundTone {
    ToneEvent event;             // latest pitch, verdict, level and odds; at_frame when last heard
    FrameIndex first_frame = 0;  // when it was first heard
    double rate_hz_per_s = 0.0;  // drift
};

class Finder {
 public:
    [[nodiscard]] static Result<Finder> create(const FinderConfig& config);
    Finder(Finder&&) noexcept;
    Finder& operator=(Finder&&) noexcept;
    ~Finder();

    // lost: this stretch holds no audio (gap, own sending); it counts for nothing.
    void process(std::span<const float> audio, std::vector<Event>& out, bool lost = false);
    // Tones heard of late, in order of finding.
    [[nodiscard]] const std::vector<FoundTone>& tones() const;
    [[nodiscard]] FrameIndex next_frame() const;  // index of the next sample expected
    void reset(FrameIndex start_frame);           // forgets all

 private:
    struct State;
    explicit Finder(std::unique_ptr<State> state);
    std::unique_ptr<State> state_;
};

}  // namespace skedlark::tone
