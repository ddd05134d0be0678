// Does a tone stand alone, or does much else in the passband come and go with it? Speech and music
// do the latter: where one of their partials is strong, so are others far from it.
//
// Stage:   tone. In: work-rate audio and the pitch. Out: a verdict over the last ten seconds or so.
// Units:   hertz; powers relative.
// Shape:   any number of samples a call; the same verdicts for any split.
// Time:    looks of 32 ms every 16 ms; a verdict needs kLeastLooks looks in which the tone stands
//          out.
// Errors:  create() passes on what the transform needs; process() cannot fail.
// Threads: one thread per instance; process() does not allocate.
// Source:  common practice, no source.
// Checked: tests/dsp/tone/spread_test_test.cpp
#pragma once

#include <array>
#include <span>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/spectrum/real_fft.h"

namespace skedlark::tone {

class SpreadTest {
 public:
    [[nodiscard]] static Result<SpreadTest> create();
    void process(std::span<const float> audio, double pitch_hz) noexcept;
    // Much else comes with this tone: it is no keyed carrier.
    [[nodiscard]] bool spread() const noexcept { return spread_; }
    void reset() noexcept;

 private:
    explicit SpreadTest(spectrum::RealFft fft);
    void look(double pitch_hz) noexcept;
    void judge(double near, double far) noexcept;

    void reset_levels() noexcept;
    [[nodiscard]] double quiet_level(const std::vector<float>& looks) noexcept;

    struct Look {
        double near = 0.0, far = 0.0;
        bool high = false;
    };
    spectrum::RealFft fft_;
    std::vector<float> window_, held_, near_, far_, sorted_;
    std::size_t filled_ = 0, next_ = 0, count_ = 0;
    std::size_t above_ = 0;         // looks on end in which the rest was over its quiet level
    std::array<Look, 2> before_{};  // the last look and the one before
    double near_floor_ = 0.0, far_floor_ = 0.0;
    int since_floor_ = 0;
    double share_ = 0.0, looks_ = 0.0;
    bool spread_ = false;
};

}  // namespace skedlark::tone
