#include "dsp/fist/note_quality.h"

#include "tests/dsp/fist/scenes.h"

namespace skedlark::fist {
namespace {

NoteQuality quality(const synth::SceneConfig& config) {
    const auto scene = made(config);
    const FineBaseband tone = brought_down(scene);
    return note_quality(tone, measure_edges(tone, find_marks(tone)));
}

TEST(NoteQuality, ACleanNote) {
    const NoteQuality q = quality(scene_config(groups(15, 1), "steady", 12.0, 1));
    EXPECT_LT(std::abs(q.chirp_hz.value), 3.0);
    EXPECT_LT(q.hum_depth.value, 0.04);
    EXPECT_LT(q.bounce_share.value, 0.05);
}

// Chirp settles exponentially: between 5 and 20 ms after the beginning of a 50 ms chirp a mean of
// exp(-12.5 / 50) = 0.78 of it is left, at the end of a dash of 200 ms next to nothing.
TEST(NoteQuality, ChirpIsMeasured) {
    for (const double chirp_hz : {-25.0, 40.0}) {
        auto config = scene_config(groups(15, 2), "steady", 15.0, 2);
        config.wanted.note.chirp_hz = chirp_hz;
        const NoteQuality q = quality(config);
        EXPECT_NEAR(q.chirp_hz.value, 0.75 * chirp_hz, 0.2 * std::abs(chirp_hz));
        EXPECT_GT(std::abs(q.chirp_hz.over_error()), 5.0);
    }
}

// Amplitude (1 - d) + d |sin|: the Fourier series of |sin x| is 2/pi - 4/(3 pi) cos 2x - ..., so the
// line at the hum's frequency is d 4/(3 pi) over a mean of 1 - d + d 2/pi.
TEST(NoteQuality, HumIsMeasured) {
    auto config = scene_config(groups(15, 3), "steady", 15.0, 3);
    config.wanted.note.hum_depth = 0.4;
    config.wanted.note.hum_hz = 100.0;
    const NoteQuality q = quality(config);
    const double depth = 0.4 * 4.0 / (3.0 * M_PI) / (0.6 + 0.4 * 2.0 / M_PI);
    EXPECT_EQ(q.hum_hz, 100.0);
    EXPECT_NEAR(q.hum_depth.value, depth, 0.15 * depth);
}

TEST(NoteQuality, BouncesAreSeen) {
    auto config = scene_config(groups(20, 4), "steady", 15.0, 4);
    config.wanted.transmitter.bounce_chance = 0.4;
    config.wanted.transmitter.bounce_open_s = 0.005;
    config.wanted.transmitter.bounce_after_s = 0.007;
    const NoteQuality q = quality(config);
    EXPECT_GT(q.bounce_share.value, 0.1);
    EXPECT_GT(q.bounce_share.over_error(), 5.0);
    EXPECT_GT(q.first_bounce_s, 0.9);
}

TEST(NoteQuality, NothingToMeasure) {
    const NoteQuality q = note_quality({}, {});
    EXPECT_EQ(q.chirp_hz.over_error(), 0.0);
    EXPECT_EQ(q.hum_depth.over_error(), 0.0);
}

}  // namespace
}  // namespace skedlark::fist
