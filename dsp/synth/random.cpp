#include "dsp/synth/random.h"

#include <cassert>
#include <cmath>

namespace skedlark::synth {
namespace {

std::uint64_t mix(std::uint64_t x) {
    x += 0x9E3779B97F4A7C15U;
    x = (x ^ (x >> 30U)) * 0xBF58476D1CE4E5B9U;
    x = (x ^ (x >> 27U)) * 0x94D049BB133111EBU;
    return x ^ (x >> 31U);
}

}  // namespace

std::uint64_t derive_seed(std::uint64_t seed, std::string_view part, std::uint64_t index) {
    std::uint64_t hash = mix(seed);
    for (const char c : part) hash = mix(hash ^ static_cast<unsigned char>(c));
    return mix(hash ^ index);
}

double Random::uniform() {
    constexpr double kStep = 1.0 / 9007199254740992.0;  // 2^-53: a double holds 53 bits
    return static_cast<double>(engine_() >> 11U) * kStep;
}

double Random::uniform(double low, double high) { return low + (high - low) * uniform(); }

int Random::below(int count) {
    assert(count >= 1);
    return static_cast<int>(uniform() * count);
}

double Random::normal() {
    if (has_spare_) {
        has_spare_ = false;
        return spare_;
    }
    double x = 0.0;
    double y = 0.0;
    double r = 0.0;
    do {
        x = 2.0 * uniform() - 1.0;
        y = 2.0 * uniform() - 1.0;
        r = x * x + y * y;
    } while (r >= 1.0 || r == 0.0);
    const double scale = std::sqrt(-2.0 * std::log(r) / r);
    spare_ = y * scale;
    has_spare_ = true;
    return x * scale;
}

double Random::exponential(double mean) { return -mean * std::log1p(-uniform()); }

double Random::log_normal(double mean, double cv) {
    if (cv == 0.0) return mean;
    const double variance = std::log1p(cv * cv);
    return mean * std::exp(std::sqrt(variance) * normal() - 0.5 * variance);
}

}  // namespace skedlark::synth
