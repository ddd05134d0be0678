// Is a line a keyed tone, a steady carrier, or neither clearly?
//
// Stage:   tone. In: the last seconds of weighed audio around a known pitch. Out: verdict with
//          odds.
// Units:   hertz; noise density as in follower.h; log odds in nepers.
// Shape:   any length of audio from 2 s; no state is kept from one call to the next.
// Time:    none.
// Errors:  none; too little audio gives "unknown".
// Threads: one thread per instance; judge() does not allocate up to the length made for.
// Source:  likelihood of the in-phase part at 100 values a second under three models: steady (level
//          followed slowly or faster), two levels switched by a two-state Markov chain for dots of
//          20 to 300 ms (4 to 60 wpm), and a Gauss-Markov level (fading, speech, music). Forward
//          algorithm and Kalman filter; the quadrature part tells how much more than the noise is
//          there.
// Checked: tests/dsp/tone/keying_test_test.cpp
#pragma once

#include <array>
#include <complex>
#include <optional>
#include <span>
#include <vector>

namespace skedlark::tone {

struct KeyingVerdict {
    std::optional<bool> keyed;         // empty: unknown
    double log_odds_keyed = 0.0;       // quick changes of level against steady or fading
    double log_odds_two_levels = 0.0;  // two levels against any quickly changing level
    double amplitude_squared = 0.0;    // with the key down; of the carrier where steady
    double share = 1.0;                // of the time the key is down
};

class KeyingTest {
 public:
    explicit KeyingTest(double longest_s = 20.0);
    // audio: weighed by weights (one over the static factor); same length; the last sample is now.
    // pitch_hz holds for the last sample.
    KeyingVerdict judge(std::span<const float> audio, std::span<const float> weights,
                        double pitch_hz, double rate_hz_per_s, double noise_density);

 private:
    struct Keyed {
        double log_likelihood = -1e300;
        double amplitude_squared = 0.0;
        double share = 0.0;
    };
    void to_baseband(std::span<const float> audio, std::span<const float> weights, double pitch_hz,
                     double rate_hz_per_s, double noise_density);
    // False where the power stands across the carrier's phase as much as along it: no keyed
    // carrier.
    [[nodiscard]] bool take_phase_off();
    void smooth(int half_width);  // in_phase_ into level_
    [[nodiscard]] double steady(int half_width);
    static constexpr std::size_t kMemories = 4;
    [[nodiscard]] std::array<double, kMemories> gauss_markov(double mean, double power) const;
    [[nodiscard]] Keyed keyed();
    [[nodiscard]] double compare_levels(double amplitude);
    [[nodiscard]] double two_levels(double share, double amplitude);

    std::vector<std::complex<float>> z_;
    std::vector<std::complex<double>> sums_;
    std::vector<float> variance_, in_phase_, quadrature_, level_;
    std::vector<double> prefix_, prefix_weight_;
    std::vector<double> mark_, gap_;  // likelihoods of each value with the key down and up
};

}  // namespace skedlark::tone
