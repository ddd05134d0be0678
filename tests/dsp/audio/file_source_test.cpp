#include "dsp/audio/file_source.h"

#include <gtest/gtest.h>

#include "tests/dsp/audio/sound_files.h"
#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

using test::Heard;
using test::read_all;
using test::TempFolder;
using test::write_sound;

std::unique_ptr<Source> opened(const std::string& path, const FileOptions& options = {}) {
    auto source = open_file(path, options);
    EXPECT_TRUE(source.ok()) << source.error().message;
    return source.ok() ? *std::move(source) : nullptr;
}

struct Format {
    const char* name;
    int code;
    int rate_hz;
    double limit_db;  // error power against the tone's
};

// Limits: a tone of peak 0.5 (-9 dB) against rounding noise of step^2 / 12 (definition): 16 bit -92
// dB, 24 bit -140 dB, 8 bit -44 dB; the writer's full scale is a step below 1.0 (-90, -138, -42
// dB); both add, and 2 dB are left for rounding that falls in step with the tone. Float and double
// are exact. ITU-T G.711 (A-law): about 38 dB. Lossy kinds: from memory, no source; what matters is
// that time and level are right, and a shift by one frame would leave -20 dB.
const Format kFormats[] = {
    {"wav16", SF_FORMAT_WAV | SF_FORMAT_PCM_16, 48000, -86.0},
    {"wav24", SF_FORMAT_WAV | SF_FORMAT_PCM_24, 44100, -134.0},
    {"wav32", SF_FORMAT_WAV | SF_FORMAT_PCM_32, 44100, -140.0},
    {"wavfloat", SF_FORMAT_WAV | SF_FORMAT_FLOAT, 96000, -200.0},
    {"wavdouble", SF_FORMAT_WAV | SF_FORMAT_DOUBLE, 8000, -200.0},
    {"wav8", SF_FORMAT_WAV | SF_FORMAT_PCM_U8, 8000, -38.0},
    {"wavalaw", SF_FORMAT_WAV | SF_FORMAT_ALAW, 8000, -35.0},
    {"rf64", SF_FORMAT_RF64 | SF_FORMAT_PCM_16, 48000, -86.0},
    {"w64", SF_FORMAT_W64 | SF_FORMAT_PCM_24, 192000, -134.0},
    {"aiff16", SF_FORMAT_AIFF | SF_FORMAT_PCM_16, 44100, -86.0},
    {"au", SF_FORMAT_AU | SF_FORMAT_PCM_16, 16000, -86.0},
    {"caf", SF_FORMAT_CAF | SF_FORMAT_PCM_16, 48000, -86.0},
    {"flac16", SF_FORMAT_FLAC | SF_FORMAT_PCM_16, 48000, -86.0},
    {"flac24", SF_FORMAT_FLAC | SF_FORMAT_PCM_24, 96000, -134.0},
    {"vorbis", SF_FORMAT_OGG | SF_FORMAT_VORBIS, 48000, -30.0},
    {"opus", SF_FORMAT_OGG | SF_FORMAT_OPUS, 48000, -25.0},
    {"mp3", SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III, 44100, -30.0},
};

class EveryFormat : public testing::TestWithParam<Format> {};
INSTANTIATE_TEST_SUITE_P(FileSource, EveryFormat, testing::ValuesIn(kFormats),
                         [](const auto& row) { return std::string(row.param.name); });

TEST_P(EveryFormat, ReadsBackWhatWasWritten) {
    const Format& format = GetParam();
    const TempFolder folder;
    const auto frames = static_cast<std::size_t>(format.rate_hz) + 123;
    const auto tone = test::sine(700.0, format.rate_hz, frames);
    write_sound(folder.file("tone"), format.code, format.rate_hz, tone);
    const auto source = opened(folder.file("tone"));
    ASSERT_TRUE(source);
    EXPECT_EQ(source->sample_rate_hz(), format.rate_hz);
    EXPECT_EQ(source->total_frames(), static_cast<FrameIndex>(frames));
    EXPECT_FALSE(source->is_live());
    const Heard heard = read_all(*source);
    EXPECT_FALSE(heard.error) << heard.error->message;
    EXPECT_TRUE(heard.marks.empty());
    ASSERT_EQ(heard.audio.size(), frames);
    const double apart_db = test::error_db(heard.audio, tone, 2000, frames - 2000);
    std::printf("%s: %.1f dB\n", format.name, apart_db);
    EXPECT_LT(apart_db, format.limit_db);
}

TEST_P(EveryFormat, SameForAnyBlockSplit) {
    const Format& format = GetParam();
    const TempFolder folder;
    write_sound(folder.file("noise"), format.code, format.rate_hz, test::noise(20000));
    const Heard one = read_all(*opened(folder.file("noise")), 512);
    const Heard other = read_all(*opened(folder.file("noise")), 6000, test::seed() | 1U);
    EXPECT_EQ(one.audio, other.audio);
}

TEST_P(EveryFormat, NothingAndOneSample) {
    const Format& format = GetParam();
    for (const std::size_t frames : {0U, 1U}) {
        const TempFolder folder;
        write_sound(folder.file("short"), format.code, format.rate_hz,
                    std::vector<float>(frames, 0.25F));
        const auto source = open_file(folder.file("short"), {});
        if (!source) {
            // Some writers leave nothing that could be told from an empty file.
            EXPECT_EQ(frames, 0U) << source.error().message;
            EXPECT_EQ(source.error().code, ErrorCode::damaged);
            continue;
        }
        const Heard heard = read_all(**source);
        EXPECT_FALSE(heard.error) << heard.error->message;
        EXPECT_EQ(heard.audio.size(), frames);
    }
}

TEST(FileSource, TakesTheChannelAskedForOrTheMean) {
    const TempFolder folder;
    constexpr int kChannels = 32;
    std::vector<float> frames;
    for (int i = 0; i < 5000; ++i) {
        for (int c = 1; c <= kChannels; ++c) frames.push_back(static_cast<float>(c) / 64.0F);
    }
    write_sound(folder.file("many.wav"), SF_FORMAT_WAV | SF_FORMAT_FLOAT, 48000, frames, kChannels);
    for (const int channel : {1, 2, 17, 32}) {
        const Heard heard = read_all(*opened(folder.file("many.wav"), {.channel = channel}));
        ASSERT_EQ(heard.audio.size(), 5000U);
        for (const float x : heard.audio) ASSERT_EQ(x, static_cast<float>(channel) / 64.0F);
    }
    const Heard mixed = read_all(*opened(folder.file("many.wav"), {.mix = true}));
    ASSERT_EQ(mixed.audio.size(), 5000U);
    // Mean of 1 to 32 is 16.5.
    for (const float x : mixed.audio) ASSERT_NEAR(x, 16.5F / 64.0F, 1e-6F);
    for (const int channel : {0, -1, 33}) {
        const auto source = open_file(folder.file("many.wav"), {.channel = channel});
        ASSERT_FALSE(source.ok());
        EXPECT_EQ(source.error().code, ErrorCode::invalid_value);
        EXPECT_NE(source.error().message.find("many.wav"), std::string::npos);
        EXPECT_NE(source.error().message.find(std::to_string(channel)), std::string::npos);
    }
}

TEST(FileSource, EndStaysTheEndAndStopIsHarmless) {
    const TempFolder folder;
    write_sound(folder.file("a.wav"), SF_FORMAT_WAV | SF_FORMAT_PCM_16, 8000, test::noise(100));
    const auto source = opened(folder.file("a.wav"));
    source->request_stop();
    EXPECT_EQ(read_all(*source).audio.size(), 100U);
    std::vector<float> block(10);
    for (int i = 0; i < 3; ++i) EXPECT_TRUE(source->read(block)->end);
}

TEST(FileSource, ReadsRawFiles) {
    const TempFolder folder;
    test::write_bytes(folder.file("a.raw"), std::string("\x00\x40\x00\xC0\xFF\x7F\x00\x80", 8));
    const auto source = opened(folder.file("a.raw"), {.raw_rate_hz = 8000.0});
    EXPECT_EQ(source->total_frames(), 4);
    const std::vector<float> expected{0.5F, -0.5F, 32767.0F / 32768.0F, -1.0F};
    EXPECT_EQ(read_all(*source).audio, expected);
}

}  // namespace
}  // namespace skedlark::audio
