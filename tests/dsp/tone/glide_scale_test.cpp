#include "dsp/tone/glide_scale.h"

#include <gtest/gtest.h>

#include "tests/dsp/tone/glide_signal.h"
#include "tests/support/seed.h"

namespace skedlark::tone {
namespace {

TEST(GlideScale, EachOctaveFindsItsOwnPace) {
    std::mt19937_64 random(support::test_seed(61));
    const auto octaves = glide_octaves();
    for (std::size_t k = 0; k < octaves.size(); ++k) {
        GlideSignal signal;
        signal.rate_hz_per_s = 1.4 * octaves[k];
        signal.seconds = 8.0 + 6000.0 / signal.rate_hz_per_s;
        signal.zero_beat_s = 0.5 * signal.seconds;
        GlideScale scale(200.0, 3000.0, k);
        scale.process(make_glide(signal, random));
        scale.finish();
        const double end_s = scale.known_until_s();
        EXPECT_GT(end_s, signal.seconds - 0.3);
        const auto path = scale.best_path(0.0, end_s, scale.make_mask(0.0, end_s));
        ASSERT_FALSE(path.points.empty());
        EXPECT_LT(scale.false_per_hour(path.score), 1e-6) << octaves[k];
        EXPECT_NEAR(scale.best_score(0.0, end_s), path.score, 1e-2);
        const auto& middle = path.points[path.points.size() / 2];
        EXPECT_NEAR(scale.rate_hz_per_s(middle.rate), signal.rate_hz_per_s,
                    0.15 * signal.rate_hz_per_s);
    }
}

// A minute of noise gives what the tail says: scores that would come once a second are met, those
// of once in a thousand hours are not.
TEST(GlideScale, NoiseGivesWhatItsTailSays) {
    std::mt19937_64 random(support::test_seed(63));
    GlideSignal noise;
    noise.seconds = 60.0;
    noise.amplitude = 0.0;
    GlideScale scale(200.0, 3000.0, 2);
    scale.process(make_glide(noise, random));
    scale.finish();
    const double best = scale.best_score(0.0, scale.known_until_s());
    EXPECT_LT(scale.false_per_hour(best), 3600.0);
    EXPECT_GT(scale.false_per_hour(best), 1e-3);
    EXPECT_GT(scale.false_per_hour(10.0), scale.false_per_hour(20.0));
}

TEST(GlideScale, ForgetsWhatIsNotWanted) {
    std::mt19937_64 random(support::test_seed(65));
    GlideSignal noise;
    noise.seconds = 30.0;
    noise.amplitude = 0.0;
    GlideScale scale(200.0, 3000.0, 2);
    scale.process(make_glide(noise, random));
    const auto before = scale.looks().first_row();
    scale.forget_before(20.0);
    EXPECT_GT(scale.looks().first_row(), before);
    EXPECT_LE(scale.looks().row_centre_s(scale.looks().first_row()), 20.1);
    EXPECT_GT(scale.best_score(20.0, 26.0), 0.0);
}

}  // namespace
}  // namespace skedlark::tone
