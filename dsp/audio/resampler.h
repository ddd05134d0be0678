// Brings a stream to another sample rate, usually the work rate.
//
// Stage:   audio. In: mono of in_rate_hz. Out: mono of out_rate_hz. Equal rates: passed through.
// Units:   frames of either side; level unchanged.
// Shape:   process() takes any number of frames, 0 too; same result for any block split.
// Time:    output frame n stands at time n / out_rate_hz of the input; the delay of the filter is
//          taken out, so output lags the input by at most kMaxLagS until flush() empties it.
// Errors:  create() returns invalid_value; process() and flush() cannot fail.
// Threads: one thread per instance. The library may take memory in process().
// Source:  libsoxr, high quality (20 bits), linear phase
// Checked: tests/dsp/audio/resampler_test.cpp, against scipy.signal.resample_poly
#pragma once

#include <memory>
#include <span>

#include "dsp/core/result.h"
#include "dsp/core/units.h"

namespace skedlark::audio {

class Resampler {
 public:
    static constexpr double kMaxLagS = 0.08;

    struct Progress {
        int taken = 0;    // input frames used
        int written = 0;  // output frames made
    };

    [[nodiscard]] static Result<Resampler> create(double in_rate_hz,
                                                  double out_rate_hz = kWorkRateHz);

    // Takes input until it is used up or out is full; call again with the rest.
    Progress process(std::span<const float> in, std::span<float> out) noexcept;
    // No input follows: returns frames written, 0 once everything was given. The total is
    // ceil(input frames * out_rate / in_rate).
    int flush(std::span<float> out) noexcept;
    void reset() noexcept;  // as after create()

 private:
    struct SoxrDeleter {
        void operator()(void* handle) const noexcept;
    };

    Resampler(double in_rate_hz, double out_rate_hz) : in_(in_rate_hz), out_(out_rate_hz) {}
    [[nodiscard]] FrameIndex due_frames() const;

    double in_;
    double out_;
    std::unique_ptr<void, SoxrDeleter> soxr_;  // empty: equal rates
    FrameIndex taken_ = 0;
    FrameIndex written_ = 0;
};

}  // namespace skedlark::audio
