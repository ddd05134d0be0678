#include "tests/accuracy/chain.h"

#include <gtest/gtest.h>

#include "tests/accuracy/copy_rows.h"
#include "tests/support/seed.h"
#include "tests/support/text_score.h"

namespace skedlark::accuracy {
namespace {

CharEvent character(const std::string& text, double confidence, bool final = true,
                    bool procedure = false) {
    CharEvent event;
    event.text = text;
    event.confidence = confidence;
    event.final = final;
    event.procedure = procedure;
    return event;
}

TEST(Chain, KeepsFinalCharactersInTheFormTheyAreScoredIn) {
    const std::vector<Event> events = {character("A", 0.9),
                                       NoteEvent{},
                                       character("B", 0.4, false),
                                       character(" ", 0.8),
                                       character("AR", 0.7, true, true),
                                       character("_", 0.3)};
    const auto printed = printed_of(events);
    EXPECT_EQ(tokens_of(printed), (std::vector<std::string>{"A", " ", "+", "_"}));
    EXPECT_DOUBLE_EQ(printed[2].confidence, 0.7);
}

// The smoke of the studies in every test run: a strong machine-sent message of 60 characters may
// have at most two errors (the first character may fall into the search's settling), noise alone
// prints nothing.
TEST(Chain, CopiesAStrongSignalAndNothingFromNoise) {
    const std::uint64_t seed = support::test_seed(7);
    const CopyRow row = curve_rows().front();
    const synth::SceneConfig config = scene_of(row, 5.0, 60, seed);
    const auto scene = synth::make_scene(config);
    ASSERT_TRUE(scene.ok());
    const auto printed = copy_audio(scene->samples, {});
    ASSERT_TRUE(printed.ok()) << printed.error().message;
    const auto score =
        support::score_tokens(support::tokens_of(scene->truth.wanted.text), tokens_of(*printed));
    EXPECT_LE(score.all.errors, 2);

    synth::SceneConfig noise = config;
    noise.wanted.transmissions.clear();
    noise.seconds = 30.0;
    const auto empty = synth::make_scene(noise);
    ASSERT_TRUE(empty.ok());
    const auto nothing = copy_audio(empty->samples, {});
    ASSERT_TRUE(nothing.ok());
    EXPECT_TRUE(nothing->empty());
}

TEST(Chain, ToldPitchOutOfRangeIsAnError) {
    const std::vector<float> silence(8000, 0.0F);
    EXPECT_FALSE(copy_audio(silence, {.told_pitch_hz = 9000.0}).ok());
    EXPECT_FALSE(copy_audio(silence, {.told_pitch_hz = 700.0, .speed_wpm = 1000.0}).ok());
}

}  // namespace
}  // namespace skedlark::accuracy
