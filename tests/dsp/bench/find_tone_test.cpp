#include "dsp/bench/find_tone.h"

#include <gtest/gtest.h>

#include "tests/dsp/bench/test_tone.h"

namespace skedlark::bench {
namespace {

std::vector<float> plus(std::vector<float> a, const std::vector<float>& b) {
    for (std::size_t n = 0; n < a.size(); ++n) a[n] += b[n];
    return a;
}

TEST(FindTone, TheToneWithinAHertz) {
    for (const double pitch : {151.0, 700.3, 1834.9, 3300.0}) {
        const auto found = find_tone(test::made({.pitch_hz = pitch, .snr_db = 0.0}), 8000.0, {});
        ASSERT_TRUE(found) << found.error().message;
        EXPECT_NEAR(found->frequency_hz, pitch, 1.0);
        EXPECT_TRUE(found->others.empty());
    }
}

TEST(FindTone, NoiseIsNone) {
    for (std::uint64_t seed = 1; seed <= 20; ++seed) {
        const auto wide =
            find_tone(test::made({.amplitude = 1e-9, .snr_db = -160.0, .seed = seed}), 8000.0, {});
        EXPECT_FALSE(wide) << seed;
        // The peak of a narrow filter is no tone either.
        const auto narrow = find_tone(test::made({.amplitude = 1e-9,
                                                  .snr_db = -160.0,
                                                  .noise_low_hz = 650.0,
                                                  .noise_high_hz = 750.0,
                                                  .seed = seed}),
                                      8000.0, {});
        EXPECT_FALSE(narrow) << seed;
        if (!wide) {
            EXPECT_NE(wide.error().message.find("no tone"), std::string::npos);
        }
    }
    EXPECT_FALSE(find_tone(std::vector<float>(80000), 8000.0, {}));
}

TEST(FindTone, TwoTonesUnlessOneIsNamed) {
    const auto both = plus(test::made({.pitch_hz = 700.0, .snr_db = 20.0}),
                           test::made({.amplitude = 0.2, .pitch_hz = 1010.0}));
    const auto refused = find_tone(both, 8000.0, {});
    ASSERT_FALSE(refused);
    EXPECT_NE(refused.error().message.find("two tones"), std::string::npos);
    const auto named = find_tone(both, 8000.0, {.pitch_hz = 1010.0});
    ASSERT_TRUE(named);
    EXPECT_NEAR(named->frequency_hz, 1010.0, 0.5);
    ASSERT_EQ(named->others.size(), 1U);
    // 0.3 against 0.2.
    EXPECT_NEAR(named->others[0].to_tone_db, 3.52, 0.2);
}

TEST(FindTone, HarmonicsAreNoSecondTone) {
    const auto found = find_tone(
        test::made({.harmonics = {{2, 0.8, 0.1}, {3, 0.5, 0.2}}, .snr_db = 30.0}), 8000.0, {});
    ASSERT_TRUE(found) << found.error().message;
    EXPECT_TRUE(found->others.empty());
}

}  // namespace
}  // namespace skedlark::bench
