#include "dsp/spectrum/real_fft.h"

#include <gtest/gtest.h>

#include <cmath>
#include <numbers>
#include <random>
#include <thread>
#include <vector>

#include "tests/support/allocations.h"
#include "tests/support/seed.h"

namespace skedlark::spectrum {
namespace {

// The definition, in double: sum x[n] exp(-2 pi i k n / N).
template <typename Value>
std::vector<std::complex<double>> plain_sum(const std::vector<Value>& values, std::size_t bins) {
    const auto size = static_cast<double>(values.size());
    std::vector<std::complex<double>> out(bins);
    for (std::size_t k = 0; k < bins; ++k) {
        for (std::size_t n = 0; n < values.size(); ++n) {
            const double turns = std::fmod(static_cast<double>(k * n), size) / size;
            out[k] +=
                std::complex<double>(values[n]) * std::polar(1.0, -2.0 * std::numbers::pi * turns);
        }
    }
    return out;
}

// Power of the error over power of the result.
template <typename Bins>
double error_db(const Bins& got, const std::vector<std::complex<double>>& wanted) {
    double error = 0.0;
    double power = 0.0;
    for (std::size_t k = 0; k < wanted.size(); ++k) {
        error += std::norm(std::complex<double>(got[k]) - wanted[k]);
        power += std::norm(wanted[k]);
    }
    return 10.0 * std::log10(error / power + 1e-30);
}

class FftSize : public ::testing::TestWithParam<int> {};

// Float keeps 24 bits; rounding grows with the logarithm of the size and stays far below -120 dB.
TEST_P(FftSize, RealAgreesWithThePlainSum) {
    std::mt19937_64 random(support::test_seed(11));
    std::normal_distribution<float> normal;
    auto fft = RealFft::create(GetParam());
    ASSERT_TRUE(fft.ok());
    std::vector<double> values;
    for (float& sample : fft->input()) {
        sample = normal(random);
        values.push_back(static_cast<double>(sample));
    }
    const auto wanted = plain_sum(values, static_cast<std::size_t>(fft->bins()));
    EXPECT_LT(error_db(fft->transform(), wanted), -120.0);
    for (std::size_t n = 0; n < values.size(); ++n)
        ASSERT_EQ(static_cast<double>(fft->input()[n]), values[n]) << "input must survive";
}

TEST_P(FftSize, ComplexAgreesWithThePlainSum) {
    std::mt19937_64 random(support::test_seed(12));
    std::normal_distribution<float> normal;
    auto fft = ComplexFft::create(GetParam());
    ASSERT_TRUE(fft.ok());
    std::vector<std::complex<double>> values;
    for (auto& sample : fft->input()) {
        sample = {normal(random), normal(random)};
        values.emplace_back(sample);
    }
    const auto wanted = plain_sum(values, values.size());
    EXPECT_LT(error_db(fft->transform(), wanted), -120.0);
}

INSTANTIATE_TEST_SUITE_P(Sizes, FftSize, ::testing::Values(2, 3, 8, 64, 100, 509, 1024));

TEST(RealFft, SilenceGivesZeros) {
    auto fft = RealFft::create(64);
    ASSERT_TRUE(fft.ok());
    for (const auto& bin : fft->transform()) EXPECT_EQ(bin, std::complex<float>());
}

TEST(RealFft, RefusesSizesThatCannotBe) {
    for (const int size : {-1, 0, 1, (1 << 22) + 1}) {
        const auto fft = RealFft::create(size);
        ASSERT_FALSE(fft.ok()) << size;
        EXPECT_EQ(fft.error().code, ErrorCode::invalid_value);
        EXPECT_NE(fft.error().message.find(std::to_string(size)), std::string::npos);
        EXPECT_FALSE(ComplexFft::create(size).ok());
    }
}

TEST(RealFft, TransformDoesNotAllocate) {
    auto fft = RealFft::create(256);
    ASSERT_TRUE(fft.ok());
    const support::AllocationCount count;
    fft->transform();
    EXPECT_EQ(count.made(), 0);
}

// Making plans is not thread-safe in FFTW; the mutex must make it so.
TEST(RealFft, CanBeMadeOnSeveralThreadsAtOnce) {
    std::vector<std::thread> threads;
    for (int n = 0; n < 4; ++n) {
        threads.emplace_back([n] {
            for (int size = 16; size < 300; size += 7) {
                auto fft = RealFft::create(size + n);
                ASSERT_TRUE(fft.ok());
                fft->input()[0] = 1.0F;
                ASSERT_NEAR(fft->transform()[1].real(), 1.0F, 1e-6F);
            }
        });
    }
    for (auto& thread : threads) thread.join();
}

}  // namespace
}  // namespace skedlark::spectrum
