// Repeatable random numbers: the same seed gives the same numbers on every machine.
//
// Stage:   synth. The standard library fixes the engine but not its distributions, so those are
//          ours.
// Units:   none.
// Shape:   one number a call.
// Time:    none.
// Errors:  none.
// Threads: one thread per instance.
// Source:  Marsaglia and Bray, SIAM Review 6 (1964) 260-264 (polar method); splitmix64 for seeds.
// Checked: tests/dsp/synth/random_test.cpp
#pragma once

#include <cstdint>
#include <random>
#include <string_view>

namespace skedlark::synth {

// A seed of its own for each part of a scene, so that changing one part leaves the others as they
// were.
[[nodiscard]] std::uint64_t derive_seed(std::uint64_t seed, std::string_view part,
                                        std::uint64_t index = 0);

class Random {
 public:
    explicit Random(std::uint64_t seed) : engine_(seed) {}

    double uniform();                         // 0 up to, not including, 1
    double uniform(double low, double high);  // low up to high
    int below(int count);                     // 0 to count - 1; count at least 1
    double normal();                          // mean 0, variance 1
    double exponential(double mean);
    double log_normal(double mean, double cv);  // of that mean and coefficient of variation

 private:
    std::mt19937_64 engine_;
    double spare_ = 0.0;
    bool has_spare_ = false;
};

}  // namespace skedlark::synth
