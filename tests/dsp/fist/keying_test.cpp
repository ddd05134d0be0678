#include "dsp/fist/keying.h"

#include "tests/dsp/fist/scenes.h"
#include "tests/support/seed.h"

namespace skedlark::fist {
namespace {

// Every mark is found and nothing else, over speeds, hands and noise.
TEST(Keying, FindsEachMarkOnce) {
    const std::uint64_t seed = support::test_seed(1010);
    int case_number = 0;
    for (const double speed : {8.0, 20.0, 45.0}) {
        for (const double snr : {5.0, 15.0, 40.0}) {
            const auto scene =
                made(scene_config(groups(8, seed), "ordinary", snr,
                                  support::seed_for_part(seed, case_number++), speed));
            const auto marks = find_marks(brought_down(scene));
            EXPECT_EQ(marks.size(), scene.truth.wanted.marks.size()) << speed << " wpm " << snr;
        }
    }
}

// Rayleigh fading that dips below the noise now and then: what is lost there is lost to a listener too.
TEST(Keying, FollowsFading) {
    auto config = scene_config(groups(12, 3), "steady", 25.0, support::test_seed(1011));
    config.wanted.channel = {1, 0.1, 0.0};
    const auto scene = made(config);
    const auto marks = find_marks(brought_down(scene));
    const auto truth = static_cast<double>(scene.truth.wanted.marks.size());
    EXPECT_NEAR(static_cast<double>(marks.size()), truth, 0.1 * truth);
}

// A contact that opens for milliseconds cuts no mark in two.
TEST(Keying, BreaksAreNoGaps) {
    auto config = scene_config(groups(12, 5), "steady", 25.0, support::test_seed(1012));
    config.wanted.transmitter.bounce_chance = 0.4;
    config.wanted.transmitter.bounce_open_s = 0.005;
    config.wanted.rise_s = 0.001;
    const auto scene = made(config);
    const auto marks = find_marks(brought_down(scene));
    EXPECT_EQ(marks.size(), scene.truth.wanted.key_marks.size());
    int breaks = 0;
    for (const RoughMark& mark : marks) breaks += static_cast<int>(mark.breaks.size());
    const auto made_breaks =
        static_cast<int>(scene.truth.wanted.marks.size() - scene.truth.wanted.key_marks.size());
    EXPECT_GT(made_breaks, 40);
    EXPECT_GT(breaks, made_breaks / 2);
    EXPECT_LE(breaks, made_breaks);
}

// Half a minute of noise alone: no marks, or hardly one.
TEST(Keying, NoiseGivesNoMarks) {
    auto config = scene_config("E", "machine", -40.0, support::test_seed(1013));
    config.seconds = 30.0;
    const auto marks = find_marks(brought_down(made(config)));
    EXPECT_LE(marks.size(), 2U);
}

TEST(Keying, SilenceGivesNoMarks) {
    std::vector<float> silence(80000, 0.0F);
    const auto track = follow_tone(silence, 700.0);
    ASSERT_TRUE(track);
    EXPECT_TRUE(find_marks(bring_down(silence, *track)).empty());
    EXPECT_TRUE(find_marks({}).empty());
}

TEST(Keying, SteadyToneIsOneMark) {
    auto config = scene_config("E", "machine", 20.0, 1);
    config.seconds = 10.0;
    config.wanted.transmissions.clear();
    config.wanted.carrier = true;
    const auto marks = find_marks(brought_down(made(config)));
    ASSERT_EQ(marks.size(), 1U);
    EXPECT_GT(marks[0].length(), 9800);
}

}  // namespace
}  // namespace skedlark::fist
