// Logarithms taken from tables, for scores of which millions are made in a second.
//
// Stage:   copy, inside.
// Units:   natural logarithms.
// Shape:   one number in, one out; straight lines between points that lie evenly in the bits of a
//          float: 128 to each octave.
// Errors:  none; arguments are finite. ln I0: within 1e-4 for x from 0; ln: within 2e-5 for x from
//          1e-30.
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
        if (x < kLeast) {
            return 0.25F * x * x;
        }
        return x + between(bessel_, x < kMost ? x : kMost);
    }
    [[nodiscard]] float log(float x) const {
        const auto bits = std::bit_cast<std::uint32_t>(x);
        constexpr float kLn2 = 0.693147181F;
        const int octave = static_cast<int>(bits >> 23U) - 127;
        const float mantissa = std::bit_cast<float>((bits & 0x7FFFFFU) | 0x3F800000U);
        return static_cast<float>(octave) * kLn2 + between(mantissa_, mantissa, kOne);
    }

 private:
    static constexpr std::uint32_t kStepBits = 16;  // of the 23 of a fraction: 128 steps an octave
    static constexpr float kLeast = 0.0078125F;     // 2^-7
    static constexpr float kMost = 1048576.0F;      // 2^20
    static constexpr std::uint32_t kFirst = std::bit_cast<std::uint32_t>(kLeast) >> kStepBits;
    static constexpr std::uint32_t kLast = std::bit_cast<std::uint32_t>(kMost) >> kStepBits;
    static constexpr std::uint32_t kOne = std::bit_cast<std::uint32_t>(1.0F) >> kStepBits;

    template <std::size_t N>
    [[nodiscard]] static float between(const std::array<float, N>& table, float x,
                                       std::uint32_t first = kFirst) {
        const auto bits = std::bit_cast<std::uint32_t>(x);
        const std::size_t at = (bits >> kStepBits) - first;
        constexpr std::uint32_t kBelow = (1U << kStepBits) - 1U;
        const float part = static_cast<float>(bits & kBelow) * (1.0F / (kBelow + 1U));
        return table[at] + part * (table[at + 1] - table[at]);
    }

    std::array<float, kLast - kFirst + 2> bessel_;  // ln I0(x) - x
    std::array<float, (1U << (23U - kStepBits)) + 2> mantissa_;
};

[[nodiscard]] const LogTables& log_tables();

}  // namespace skedlark::copy
