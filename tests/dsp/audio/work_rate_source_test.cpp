#include "dsp/audio/work_rate_source.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <chrono>

#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

using test::Heard;
using test::read_all;
using test::ScriptedSource;
using test::sine;
using test::Step;

std::unique_ptr<WorkRateSource> at_work_rate(double rate_hz, std::vector<Step> steps,
                                             std::optional<Error> last_error = {}) {
    auto made = WorkRateSource::create(
        std::make_unique<ScriptedSource>(rate_hz, std::move(steps), std::move(last_error)));
    EXPECT_TRUE(made.ok());
    return *std::move(made);
}

std::vector<float> part(const std::vector<float>& x, std::size_t from, std::size_t to) {
    return {x.begin() + static_cast<std::ptrdiff_t>(from),
            x.begin() + static_cast<std::ptrdiff_t>(to)};
}

class EveryWorkRate : public testing::TestWithParam<int> {};
INSTANTIATE_TEST_SUITE_P(WorkRateSource, EveryWorkRate,
                         testing::Values(8000, 11025, 44100, 48000, 192000));

// A tone with a stretch cut out: before and after it the samples stand where the whole tone has
// them (definition of the frame index), between them are flagged zeros.
TEST_P(EveryWorkRate, LostStretchKeepsTheClock) {
    const auto rate = static_cast<std::size_t>(GetParam());
    for (const double gap_s : {0.001, 0.3, 7.0}) {
        const auto gap = static_cast<std::size_t>(gap_s * static_cast<double>(rate));
        const auto tone = sine(700.0, static_cast<double>(rate), 2 * rate + gap);
        auto source = at_work_rate(
            static_cast<double>(rate),
            {{part(tone, 0, rate)},
             {part(tone, rate + gap, tone.size()), static_cast<FrameIndex>(gap), "unplugged"}});
        const Heard heard = read_all(*source, 900, test::seed() | 1U);
        ASSERT_EQ(heard.marks.size(), 1U);
        EXPECT_EQ(heard.marks[0].lost_reason, "unplugged");
        EXPECT_TRUE(heard.marks[0].lost);
        EXPECT_NEAR(static_cast<double>(heard.marks[0].first_frame), 8000.0, 1.0);
        EXPECT_NEAR(static_cast<double>(heard.flagged_frames), 8000.0 * gap_s, 2.0);
        const auto expected = sine(700.0, 8000.0, heard.audio.size());
        EXPECT_NEAR(static_cast<double>(heard.audio.size()), 8000.0 * (2.0 + gap_s), 1.0);
        EXPECT_LT(test::error_db(heard.audio, expected, 500, 7500), -90.0);
        EXPECT_LT(test::error_db(heard.audio, expected, heard.audio.size() - 7500,
                                 heard.audio.size() - 500),
                  -90.0);
        for (std::size_t i = 8001; i + 1 < 8000 + static_cast<std::size_t>(8000.0 * gap_s); ++i) {
            ASSERT_EQ(heard.audio[i], 0.0F) << i;
        }
    }
}

TEST_P(EveryWorkRate, SameForAnySplitAndMatchesTheSteps) {
    const auto rate = static_cast<std::size_t>(GetParam());
    const auto audio = test::noise(rate);
    const auto steps = [&] {
        return std::vector<Step>{
            {part(audio, 0, 100)},
            {},
            {part(audio, 100, 5000), 37, "overflow"},
            {part(audio, 5000, rate), static_cast<FrameIndex>(3 * rate + 5), ""}};
    };
    const Heard one = read_all(*at_work_rate(static_cast<double>(rate), steps()), 4096);
    const Heard other =
        read_all(*at_work_rate(static_cast<double>(rate), steps()), 700, test::seed() | 1U);
    EXPECT_EQ(one.audio, other.audio);
    EXPECT_EQ(one.flagged_frames, other.flagged_frames);
}

// A device away for a night, told piece by piece: one mark, true length, and no work to speak of.
// What is digital silence in the file is so at the work rate, but for the ringing of the filter's
// edge (a few milliseconds; 100 ms are left out on both sides).
TEST_P(EveryWorkRate, SilenceStaysSilent) {
    const auto rate = static_cast<std::size_t>(GetParam());
    auto audio = sine(700.0, static_cast<double>(rate), 3 * rate);
    std::fill(audio.begin() + static_cast<std::ptrdiff_t>(rate),
              audio.begin() + static_cast<std::ptrdiff_t>(2 * rate), 0.0F);
    auto source = at_work_rate(static_cast<double>(rate), {{audio}});
    const Heard heard = read_all(*source, 900, test::seed() | 1U);
    ASSERT_GT(heard.audio.size(), 23000U);
    for (std::size_t i = 8800; i < 15200; ++i) {
        ASSERT_EQ(heard.audio[i], 0.0F) << i;
    }
    const auto sounds = [](float sample) { return sample != 0.0F; };
    EXPECT_TRUE(std::any_of(heard.audio.begin() + 16800, heard.audio.end(), sounds));
}

TEST(WorkRateSource, ANightWithoutADeviceIsCheapAndToldOnce) {
    std::vector<Step> steps{{test::noise(48000)}};
    constexpr FrameIndex kPiece = 48000 * 60;
    for (int i = 0; i < 8 * 60; ++i) steps.push_back({{}, kPiece, "the device is away"});
    steps.push_back({test::noise(48000)});
    auto source = at_work_rate(48000.0, std::move(steps));
    std::vector<float> block(8000);
    FrameIndex frames = 0;
    FrameIndex flagged = 0;
    int told = 0;
    const auto start = std::chrono::steady_clock::now();
    while (true) {
        const auto result = source->read(block);
        ASSERT_TRUE(result.ok());
        EXPECT_EQ(result->first_frame, frames);
        frames += result->frames;
        if (result->lost) flagged += result->frames;
        if (!result->lost_reason.empty()) ++told;
        if (result->end) break;
    }
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
    std::printf("eight hours in %.2f s\n", took.count());
    EXPECT_EQ(told, 1);
    EXPECT_EQ(flagged, FrameIndex{8} * 3600 * 8000);
    EXPECT_EQ(frames, FrameIndex{8} * 3600 * 8000 + 16000);
    EXPECT_LT(took.count(), 20.0);
}

TEST(WorkRateSource, LossOfUnknownLengthIsTold) {
    auto source =
        at_work_rate(48000.0, {{test::noise(48000)}, {test::noise(48000), 0, "some were lost"}});
    const Heard heard = read_all(*source);
    ASSERT_EQ(heard.marks.size(), 1U);
    EXPECT_FALSE(heard.marks[0].lost);
    EXPECT_NEAR(static_cast<double>(heard.marks[0].first_frame), 8000.0, 1.0);
    EXPECT_EQ(heard.audio.size(), 16000U);
}

TEST(WorkRateSource, GivesEverythingBeforeTheError) {
    auto source = at_work_rate(48000.0, {{test::noise(48000)}},
                               Error{ErrorCode::device_lost, "gone for good"});
    const Heard heard = read_all(*source);
    ASSERT_TRUE(heard.error);
    EXPECT_EQ(heard.error->code, ErrorCode::device_lost);
    EXPECT_EQ(heard.audio.size(), 8000U);
    std::vector<float> block(10);
    EXPECT_FALSE(source->read(block).ok());
}

TEST(WorkRateSource, EmptySourceEndsAtOnce) {
    EXPECT_TRUE(read_all(*at_work_rate(48000.0, {})).audio.empty());
}

TEST(WorkRateSource, RefusesARateOutOfRange) {
    const auto made =
        WorkRateSource::create(std::make_unique<ScriptedSource>(4000.0, std::vector<Step>{}));
    ASSERT_FALSE(made.ok());
    EXPECT_NE(made.error().message.find("script"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::audio
