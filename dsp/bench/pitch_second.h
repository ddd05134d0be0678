// The pitch of one second of a steady carrier, to a thousandth of a hertz, and its uncertainty.
//
// Stage:   bench. In: a second of audio. Out: PitchSecond.
// Units:   hertz, hertz a second, dB; pitch is that at the middle of the second.
// Shape:   one second a call, from 8000 to 16000 samples.
// Time:    none.
// Errors:  none: what is there instead of one tone is told by `state`.
// Threads: one thread per instance; measure() does not allocate.
// Source:  four spectra of a quarter second find the line and its slope; the phase of 32 parts, turned back
//          by that line, is fitted by a parabola (least squares of phase reaches the Cramer-Rao bound:
//          Tretter, IEEE Trans. IT-31 (1985) 832-835). Standard deviation: that bound for the noise beside the
//          line, var f = 6 / (4 pi^2 C/N0 T^3) (Rife and Boorstyn, IEEE Trans. IT-20 (1974) 591-598),
//          or what the phases show where that is clearly more (hum on the note, wander).
// Checked: tests/dsp/bench/pitch_second_test.cpp
#pragma once

#include <array>
#include <complex>
#include <span>
#include <vector>

#include "dsp/spectrum/real_fft.h"
#include "dsp/spectrum/window.h"

namespace skedlark::bench {

enum class ToneState { one, none, at_edge, two };

struct PitchSecond {
    ToneState state = ToneState::none;
    double pitch_hz = 0.0;
    double sd_hz = 0.0;
    double slope_hz_per_s = 0.0;
    double snr_2400hz_db = 0.0;
    double amplitude = 0.0;
    double second_hz = 0.0;  // the other tone, where state is two
};

struct PitchSearch {
    double sample_rate_hz = 8000.0;  // 8000 to 16000
    double low_hz = 100.0;
    double high_hz = 3200.0;
};

class PitchMeter {
 public:
    [[nodiscard]] static Result<PitchMeter> create(const PitchSearch& search);
    [[nodiscard]] std::size_t frames() const { return frames_; }  // of one second
    [[nodiscard]] PitchSecond measure(std::span<const float> second);

 private:
    static constexpr int kQuarters = 4;
    static constexpr int kParts = 32;
    struct Peak {
        double hz = 0.0;
        double power = 0.0;
    };
    PitchMeter(const PitchSearch& search, spectrum::RealFft fft);
    void look(std::span<const float> second);
    [[nodiscard]] Peak peak_of(const std::vector<double>& power, double from_hz, double to_hz,
                               double beside_hz, double apart_hz) const;
    [[nodiscard]] double noise_beside(double pitch_hz) const;
    [[nodiscard]] bool find_line(PitchSecond& found);
    [[nodiscard]] bool is_rivalled(const PitchSecond& found, double& second_hz) const;
    void refine(std::span<const float> second, PitchSecond& found);

    PitchSearch search_;
    spectrum::RealFft fft_;
    spectrum::Window window_;
    std::size_t frames_;
    std::size_t quarter_;
    double bin_hz_;
    std::array<std::vector<double>, kQuarters> quarters_;
    std::vector<double> mean_;
    mutable std::vector<double> scratch_;
    double noise_density_ = 0.0;
};

}  // namespace skedlark::bench
