// What is read and what lands on disk must be the same samples.
#include "dsp/watch/recorded_source.h"

#include <gtest/gtest.h>
#include <stdlib.h>

#include <filesystem>

#include "dsp/audio/file_source.h"
#include "tests/dsp/watch/made_source.h"
#include "tests/dsp/watch/pipeline.h"

namespace skedlark::watch {
namespace {

std::vector<float> read_all(audio::Source& source) {
    std::vector<float> audio;
    std::vector<float> block(777);
    for (bool end = false; !end;) {
        const auto read = source.read(block);
        if (!read.ok()) {
            ADD_FAILURE() << read.error().message;
            break;
        }
        audio.insert(audio.end(), block.begin(), block.begin() + read->frames);
        end = read->end;
    }
    return audio;
}

TEST(RecordedSource, PassesOnAndKeepsTheSameSamples) {
    std::string folder = (std::filesystem::temp_directory_path() / "skedlark-XXXXXX").string();
    ASSERT_NE(::mkdtemp(folder.data()), nullptr);
    audio::RecorderConfig config;
    config.folder = folder;
    config.sample_rate_hz = 11025.0;
    config.format = audio::RecordingFormat::wav;
    auto recorder = audio::Recorder::create(config);
    ASSERT_TRUE(recorder.ok());
    const std::vector<float> audio = noise(3.0, 9);
    RecordedSource source(std::make_unique<MadeSource>(audio, 11025.0), **recorder);
    EXPECT_EQ(source.sample_rate_hz(), 11025.0);
    EXPECT_EQ(source.name(), "made");
    EXPECT_EQ(read_all(source), audio);
    ASSERT_TRUE((*recorder)->close().ok());
    ASSERT_EQ((*recorder)->files().size(), 1U);
    auto file = audio::open_file((*recorder)->files().front(), {});
    ASSERT_TRUE(file.ok());
    const std::vector<float> kept = read_all(**file);
    ASSERT_EQ(kept.size(), audio.size());
    for (std::size_t i = 0; i < kept.size(); ++i) {
        ASSERT_NEAR(kept[i], audio[i], 1.0F / 32768.0F) << i;  // one step of 16 bits
    }
    std::filesystem::remove_all(folder);
}

TEST(RecordedSource, ARequestToStopReachesTheSource) {
    std::string folder = (std::filesystem::temp_directory_path() / "skedlark-XXXXXX").string();
    ASSERT_NE(::mkdtemp(folder.data()), nullptr);
    audio::RecorderConfig config;
    config.folder = folder;
    config.sample_rate_hz = kWorkRateHz;
    auto recorder = audio::Recorder::create(config);
    ASSERT_TRUE(recorder.ok());
    auto inner = std::make_unique<MadeSource>(std::vector<float>(8000, 0.1F));
    const audio::Source& watched_source = *inner;
    RecordedSource source(std::move(inner), **recorder);
    source.request_stop();
    EXPECT_TRUE(watched_source.stop_requested());
    EXPECT_TRUE(read_all(source).empty());
    ASSERT_TRUE((*recorder)->close().ok());
    std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace skedlark::watch
