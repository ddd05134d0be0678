// Audio at a whole fraction of its rate, for measurements that need no more than 3 kHz.
//
// Stage:   bench. In: mono audio at its own rate. Out: the same at rate / factor, 8000 to below 16000 Hz.
// Units:   gain 1 up to 3.2 kHz within 0.01 dB; what would fold into that is 70 dB down.
// Shape:   any number of samples a call; the same result for any split.
// Time:    output n stands at input n * factor: the filter's delay is taken off, so the last few
//          milliseconds never come.
// Errors:  create() returns invalid_value.
// Threads: one thread per instance; process() allocates only where out must grow.
// Source:  Kaiser's window (Oppenheim and Schafer, Discrete-Time Signal Processing, ch. 7, from memory).
// Checked: tests/dsp/bench/decimator_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::bench {

class Decimator {
 public:
    [[nodiscard]] static Result<Decimator> create(double sample_rate_hz);

    // Appends to out.
    void process(std::span<const float> audio, std::vector<float>& out);
    [[nodiscard]] double rate_hz() const { return rate_hz_; }
    [[nodiscard]] int factor() const { return factor_; }
    [[nodiscard]] static constexpr double highest_hz() { return 3200.0; }

 private:
    Decimator(double sample_rate_hz, int factor);

    int factor_;
    double rate_hz_;
    std::vector<float> taps_;
    std::vector<float> held_;  // samples from the next output's first tap on
};

}  // namespace skedlark::bench
