// Logarithms and powers taken from tables, for scores of which millions are made in a second.
//
// Stage:   copy, inside.
// Units:   natural logarithms.
// Shape:   one number in, one out, without a branch, so that a compiler can take eight at a time;
//          straight lines between points that lie evenly in the bits of a float: 128 to each octave.
// Errors:  none; arguments are finite. ln I0: within 1e-4 for x from 0 to 1e13; ln: within 2e-5 for
//          x from 1e-30; exp: within 2e-5, relative, for x from -80 to 80; 0 from -1e7 to -89.
// Threads: safe from any, after the first call; nothing allocates.
// Source:  I0 of the standard library up to 80, above it ln I0(x) = x - ln(2 pi x) / 2 + 1 / (8 x),
//          the leading terms of its asymptotic series (Abramowitz, Stegun, Handbook of Mathematical
//          Functions, 9.7.1).
// Checked: tests/dsp/copy/log_tables_test.cpp, against the standard library
#pragma once

#include <array>
#include <bit>
#include <cstddef>
#include <cstdint>

namespace skedlark::copy {

class LogTables {
 public:
    LogTables();
    [[nodiscard]] float log_bessel_i0(float x) const {
        // The little more keeps the smallest within the table.
        return x + between(bessel_, x + kLeast, kFirst);
    }
    [[nodiscard]] float log(float x) const {
        const auto bits = std::bit_cast<std::uint32_t>(x);
        constexpr float kLn2 = 0.693147181F;
        const int octave = static_cast<int>(bits >> kFractionBits) - kBias;
        const float mantissa = std::bit_cast<float>((bits & 0x7FFFFFU) | 0x3F800000U);
        return static_cast<float>(octave) * kLn2 + between(mantissa_, mantissa, kOne);
    }
    [[nodiscard]] float exp(float x) const {
        constexpr float kPerLn = 1.44269504F;
        // In steps of the table, from 2^-kBias on.
        const float steps = (x * kPerLn + static_cast<float>(kBias)) * kPowers;
        const int step = static_cast<int>(steps);
        const float part = steps - static_cast<float>(step);
        const int at = step & (kPowers - 1);
        const float* powers = power_.data();
        const float power = powers[at] + part * (powers[at + 1] - powers[at]);
        const int octave = (step >> kOctaveBits) & ~(step >> 31);  // 0, and so is the power, below
        return power * std::bit_cast<float>(static_cast<std::uint32_t>(octave) << kFractionBits);
    }

 private:
    static constexpr std::uint32_t kFractionBits = 23;
    static constexpr int kBias = 127;  // of a float's exponent
    static constexpr std::uint32_t kOctaveBits = 7;
    static constexpr int kPowers = 1 << kOctaveBits;
    static constexpr std::uint32_t kStepBits = kFractionBits - kOctaveBits;
    static constexpr float kLeast = 0x1p-20F;
    static constexpr std::size_t kOctaves = 64;
    static constexpr std::uint32_t kFirst = std::bit_cast<std::uint32_t>(kLeast) >> kStepBits;
    static constexpr std::uint32_t kOne = std::bit_cast<std::uint32_t>(1.0F) >> kStepBits;

    template <std::size_t N>
    [[nodiscard]] static float between(const std::array<float, N>& table, float x,
                                       std::uint32_t first) {
        const auto bits = std::bit_cast<std::uint32_t>(x);
        constexpr std::uint32_t kWithin = std::bit_floor(N) - 1;  // never beyond it
        const auto at = static_cast<std::int32_t>(((bits >> kStepBits) - first) & kWithin);
        constexpr std::uint32_t kBelow = (1U << kStepBits) - 1U;
        const auto past = static_cast<std::int32_t>(bits & kBelow);
        const float part = static_cast<float>(past) * (1.0F / (kBelow + 1U));
        const float* values = table.data();
        return values[at] + part * (values[at + 1] - values[at]);
    }

    std::array<float, kOctaves * kPowers + 1> bessel_;  // ln I0(x) - x
    std::array<float, kPowers + 1> mantissa_;
    std::array<float, kPowers + 1> power_;  // 2^x from 0 to 1
};

[[nodiscard]] const LogTables& log_tables();

}  // namespace skedlark::copy
