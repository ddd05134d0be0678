// Checked against a plain list of all samples, and by hand.
#include "dsp/watch/audio_history.h"

#include <gtest/gtest.h>

#include <random>

#include "tests/support/seed.h"

namespace skedlark::watch {
namespace {

struct Kept {
    std::vector<float> audio;
    std::vector<bool> lost;
};

Kept forwards(const AudioHistory& history, FrameIndex from) {
    Kept kept;
    history.forwards(from, [&](std::span<const float> audio, bool lost) {
        kept.audio.insert(kept.audio.end(), audio.begin(), audio.end());
        kept.lost.insert(kept.lost.end(), audio.size(), lost);
    });
    return kept;
}

Kept backwards(const AudioHistory& history, FrameIndex from) {
    Kept kept;
    history.backwards(from, [&](std::span<const float> audio, bool lost) {
        kept.audio.insert(kept.audio.end(), audio.begin(), audio.end());
        kept.lost.insert(kept.lost.end(), audio.size(), lost);
    });
    return kept;
}

TEST(AudioHistory, IsEmptyAtFirst) {
    const AudioHistory history(10);
    EXPECT_EQ(history.begin_frame(), 0);
    EXPECT_EQ(history.end_frame(), 0);
    EXPECT_TRUE(forwards(history, 0).audio.empty());
}

TEST(AudioHistory, KeepsTheLastFramesAndWhichWereLost) {
    AudioHistory history(4);
    history.add(std::vector<float>{1, 2, 3}, false);
    history.add(std::vector<float>{4}, true);
    history.add(std::vector<float>{5}, false);
    EXPECT_EQ(history.begin_frame(), 1);
    EXPECT_EQ(history.end_frame(), 5);
    EXPECT_EQ(forwards(history, 0).audio, (std::vector<float>{2, 3, 4, 5}));
    EXPECT_EQ(forwards(history, 0).lost, (std::vector<bool>{false, false, true, false}));
    EXPECT_EQ(forwards(history, 3).audio, (std::vector<float>{4, 5}));
    EXPECT_EQ(backwards(history, 0).audio, (std::vector<float>{5, 4, 3, 2}));
    EXPECT_EQ(backwards(history, 0).lost, (std::vector<bool>{false, true, false, false}));
}

TEST(AudioHistory, AgreesWithAListOfEverything) {
    const auto seed = support::test_seed(1);
    SCOPED_TRACE(seed);
    std::mt19937_64 random(seed);
    constexpr FrameIndex kCapacity = 9000;
    AudioHistory history(kCapacity);
    Kept all;
    for (int block = 0; block < 200; ++block) {
        const bool lost = random() % 5 == 0;
        std::vector<float> audio(random() % 700);
        for (float& sample : audio) {
            sample = static_cast<float>(random() % 1000);
        }
        history.add(audio, lost);
        all.audio.insert(all.audio.end(), audio.begin(), audio.end());
        all.lost.insert(all.lost.end(), audio.size(), lost);
        const auto total = static_cast<FrameIndex>(all.audio.size());
        ASSERT_EQ(history.end_frame(), total);
        ASSERT_EQ(history.begin_frame(), std::max<FrameIndex>(0, total - kCapacity));
        if (block % 20 != 19) {
            continue;
        }
        const FrameIndex from = history.begin_frame() + static_cast<FrameIndex>(random() % 3000);
        const std::vector<float> audio_part(all.audio.begin() + from, all.audio.end());
        const std::vector<bool> lost_part(all.lost.begin() + from, all.lost.end());
        EXPECT_EQ(forwards(history, from).audio, audio_part);
        EXPECT_EQ(forwards(history, from).lost, lost_part);
        EXPECT_EQ(backwards(history, from).audio,
                  std::vector<float>(audio_part.rbegin(), audio_part.rend()));
        EXPECT_EQ(backwards(history, from).lost,
                  std::vector<bool>(lost_part.rbegin(), lost_part.rend()));
    }
}

}  // namespace
}  // namespace skedlark::watch
