#include "dsp/tone/static_meter.h"

#include <gtest/gtest.h>

#include <cmath>
#include <random>

#include "dsp/core/units.h"
#include "tests/dsp/tone/keyed_signal.h"
#include "tests/support/allocations.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

std::vector<float> factors_of(StaticMeter& meter, const std::vector<float>& audio) {
    std::vector<float> factors;
    for (std::size_t n = 0; n + kStaticSpan <= audio.size(); n += kStaticHop)
        factors.push_back(meter.factor(std::span(audio).subspan(n, kStaticSpan), 700.0));
    return factors;
}

TEST(StaticMeter, IsOneInPlainNoiseWithLittleJitter) {
    std::mt19937 random(static_cast<std::mt19937::result_type>(support::test_seed(71)));
    auto meter = StaticMeter::create();
    ASSERT_TRUE(meter.ok());
    double sum = 0.0;
    double squares = 0.0;
    const auto factors = factors_of(*meter, test::white_noise(60.0, 0.1, random));
    for (const float factor : factors) {
        sum += static_cast<double>(factor);
        squares += static_cast<double>(factor) * static_cast<double>(factor);
    }
    const auto count = static_cast<double>(factors.size());
    EXPECT_NEAR(sum / count, 1.0, 0.02);
    EXPECT_LT(std::sqrt(squares / count - std::pow(sum / count, 2.0)), 0.1);
}

TEST(StaticMeter, FollowsACrashAndAStrongKeyedToneIsNone) {
    std::mt19937 random(static_cast<std::mt19937::result_type>(support::test_seed(72)));
    auto meter = StaticMeter::create();
    ASSERT_TRUE(meter.ok());
    auto audio = test::white_noise(20.0, 0.1, random);
    test::add_tone(audio, test::random_keying(20.0, 20.0, random), test::amplitude_for(20.0, 0.1),
                   [](double) { return 700.0; });
    double log_sum = 0.0;
    int crashes = 0;
    for (std::size_t start = 40000; start + 200 < audio.size(); start += 8000, ++crashes)
        for (std::size_t n = start; n < start + 160; ++n) audio[n] *= 10.0F;
    const auto factors = factors_of(*meter, audio);
    double quiet = 0.0;
    int quiet_count = 0;
    for (std::size_t n = 1000; n < factors.size(); ++n) {
        const std::size_t middle = n * kStaticHop + kStaticSpan / 2;
        const std::size_t since = middle >= 40000 ? (middle - 40000) % 8000 : 4000;
        if (since >= 70 && since < 90) log_sum += std::log10(static_cast<double>(factors[n]));
        if (since > 500 && since < 7500) {
            quiet += static_cast<double>(factors[n]);
            ++quiet_count;
        }
    }
    EXPECT_NEAR(10.0 * log_sum / crashes, 20.0, 1.5);  // in the middle of crashes of 20 dB
    EXPECT_NEAR(quiet / quiet_count, 1.0, 0.1);
}

// Side lobes of the window reach every cell; without its pitch a tone once passed for a crash.
TEST(StaticMeter, AStrongToneOfUnknownPitchIsNoneAndACrashStillIs) {
    std::mt19937 random(static_cast<std::mt19937::result_type>(support::test_seed(73)));
    for (const double snr_db : {30.0, 45.0, 60.0, 75.0}) {
        auto meter = StaticMeter::create();
        ASSERT_TRUE(meter.ok());
        auto audio = test::white_noise(20.0, 1e-4, random);
        const auto key = test::random_keying(20.0, 14.0, random);
        test::add_tone(audio, key, test::amplitude_for(snr_db, 1e-4), [](double) { return 712.3; });
        double down = 0.0;
        int looks = 0;
        for (std::size_t n = 0; n + kStaticSpan <= audio.size(); n += kStaticHop) {
            const float factor = meter->factor(std::span(audio).subspan(n, kStaticSpan), -1.0);
            // Where the key is down from edge to edge of the look, and the level is known.
            const bool whole = key[n] > 0.999F && key[n + kStaticSpan - 1] > 0.999F;
            if (n < 40000 || !whole) continue;
            down += static_cast<double>(factor);
            ++looks;
        }
        EXPECT_LT(down / looks, 1.1) << snr_db << " dB";
        std::vector<float> crash = test::white_noise(0.008, 1e-3, random);
        EXPECT_GT(meter->factor(crash, -1.0), 30.0F) << "20 dB of static";
    }
}

TEST(StaticMeter, SilenceIsOneAndNothingAllocates) {
    auto meter = StaticMeter::create();
    ASSERT_TRUE(meter.ok());
    const std::vector<float> silence(kStaticSpan);
    const support::AllocationCount count;
    for (int n = 0; n < 200; ++n) ASSERT_EQ(meter->factor(silence, 700.0), 1.0F);
    EXPECT_EQ(count.made(), 0);
    meter->reset();
    EXPECT_EQ(meter->factor(silence, 700.0), 1.0F);
    EXPECT_EQ(meter->factor(silence, -1.0), 1.0F);
}

}  // namespace
}  // namespace skedlark::tone
