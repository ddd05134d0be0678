// Rows of a narrow waterfall around a pitch, any width, for screens.
//
// Stage:   spectrum. In: mono samples. Out: one row of points every hop_s.
// Units:   points in dB over the noise floor: 0 where there is only noise (on the mean).
// Shape:   any number of samples a call; the same rows for any split; points run from low_hz to
//          high_hz.
// Time:    a row holds for the middle of its window: row_centre_frame().
// Errors:  create() returns invalid_value; process() cannot fail.
// Threads: one thread per instance; process() does not allocate.
// Source:  power of the zero-padded transform, the strongest cell of each point, over the noise
//          floor.
// Checked: tests/dsp/spectrum/strip_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/core/result.h"
#include "dsp/spectrum/noise_floor.h"
#include "dsp/spectrum/stft.h"

namespace skedlark::spectrum {

struct StripConfig {
    double low_hz = 580.0;    // 0 to below high_hz
    double high_hz = 820.0;   // above low_hz, to half the work rate
    double window_s = 0.128;  // 0.02 to 4: longer shows weaker tones, shorter shows keying
    double hop_s = 0.032;     // 0.005 to window_s
    int points = 240;         // 2 to 8192
};

class Strip {
 public:
    [[nodiscard]] static Result<Strip> create(const StripConfig& config);

    // Calls on_row(std::span<const float>) for each row that became complete.
    template <typename OnRow>
    void process(std::span<const float> audio, OnRow&& on_row) {
        stft_.process(audio, [&](std::span<const float> powers) { on_row(draw(powers)); });
    }
    [[nodiscard]] FrameIndex row_centre_frame() const noexcept { return stft_.row_centre_frame(); }
    // Moves the strip to other frequencies; the noise floor is kept. False: not a range within the
    // audio.
    [[nodiscard]] bool look_at(double low_hz, double high_hz) noexcept;
    void reset() noexcept;  // as after create()

 private:
    Strip(const StripConfig& config, Stft stft, NoiseFloor floor);
    std::span<const float> draw(std::span<const float> powers) noexcept;
    void measure(std::span<const float> powers, int first_bin, int last_bin) noexcept;

    StripConfig config_;
    Stft stft_;
    NoiseFloor floor_;
    std::vector<double> over_noise_db_;  // of each bin in view
    std::vector<float> row_;
};

}  // namespace skedlark::spectrum
