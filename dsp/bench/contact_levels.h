// The usual level of noise and tone, moment by moment, as if no contact ever failed.
//
// Stage:   bench. In: mono audio. Out: levels and pitch for each quarter of a second, autocovariance of the
//          noise.
// Units:   powers are mean squares, 1.0 = full scale; hertz.
// Shape:   one Moment each kMomentS of audio; a tone is one that stands in most looks of 0.4 s.
// Time:    a moment's levels are medians over one second to each side of it.
// Errors:  not_found (neither noise nor tone), invalid_value (mains hum drowns the rest, more than one tone).
// Threads: pure.
//          at_rest: where the noise's own swing is measured, or failing contacts would be taken for it.
// Source:  medians because neither dropouts nor static may move the level (Hampel, J. Amer. Stat. Assoc. 69
//          (1974) 383-393); median of a chi-square by Wilson and Hilferty, Proc. Nat. Acad. Sci. 17 (1931) 684.
// Checked: tests/dsp/bench/contact_levels_test.cpp
#pragma once

#include <span>
#include <vector>

#include "dsp/bench/input_check.h"
#include "dsp/core/result.h"

namespace skedlark::bench {

inline constexpr double kMomentS = 0.25;

struct Moment {
    double noise_power = 0.0;
    double tone_amplitude = 0.0;  // 0: noise only
    double pitch_hz = 0.0;

    [[nodiscard]] double power() const {
        return noise_power + 0.5 * tone_amplitude * tone_amplitude;
    }
};

struct ContactLevels {
    bool has_tone = false;
    double pitch_hz = 0.0;            // median
    double tone_over_noise_db = 0.0;  // in the whole band; with a tone only
    // How far the noise's own level swings within a second: standard deviation of the logarithm of power, 0
    // for even noise. Atmospheric noise does so, a receiver's own does not.
    double swing_nepers = 0.0;
    std::vector<Moment> moments{};
    std::vector<double> covariance{};  // of the noise, up to 17 ms; [0] is 1

    [[nodiscard]] const Moment& at(double seconds) const;
};

[[nodiscard]] Result<ContactLevels> measure_contact_levels(std::span<const float> audio,
                                                           double sample_rate_hz,
                                                           const std::vector<Stretch>& at_rest);

}  // namespace skedlark::bench
