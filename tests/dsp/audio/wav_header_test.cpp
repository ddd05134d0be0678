#include "dsp/audio/wav_header.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include "tests/dsp/audio/sound_files.h"
#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

Result<PcmFormat> header_of(const std::string& bytes) {
    int ends[2];
    EXPECT_EQ(pipe(ends), 0);
    EXPECT_EQ(::write(ends[1], bytes.data(), bytes.size()), std::ssize(bytes));
    close(ends[1]);
    const Descriptor read(ends[0]);
    return read_wav_header(read, "the stream");
}

// Written by libsndfile, so that somebody else's idea of a header is read.
std::string written(int format, int rate_hz, int channels) {
    const test::TempFolder folder;
    test::write_sound(folder.file("a"), format, rate_hz,
                      test::noise(static_cast<std::size_t>(100 * channels)), channels);
    return test::read_bytes(folder.file("a"));
}

TEST(WavHeader, ReadsWhatOthersWrite) {
    struct Row {
        int subtype, bits;
        bool is_float;
    };
    for (const Row& row : {Row{SF_FORMAT_PCM_U8, 8, false}, Row{SF_FORMAT_PCM_16, 16, false},
                           Row{SF_FORMAT_PCM_24, 24, false}, Row{SF_FORMAT_PCM_32, 32, false},
                           Row{SF_FORMAT_FLOAT, 32, true}, Row{SF_FORMAT_DOUBLE, 64, true}}) {
        for (const int container : {SF_FORMAT_WAV, SF_FORMAT_WAVEX}) {
            const auto header = header_of(written(container | row.subtype, 44100, 2));
            ASSERT_TRUE(header.ok()) << header.error().message;
            EXPECT_EQ(header->rate_hz, 44100.0);
            EXPECT_EQ(header->channels, 2);
            EXPECT_EQ(header->bits, row.bits);
            EXPECT_EQ(header->is_float, row.is_float);
            EXPECT_EQ(header->data_bytes, 100 * 2 * row.bits / 8);
        }
    }
}

TEST(WavHeader, RefusesWithAReason) {
    const std::string good = written(SF_FORMAT_WAV | SF_FORMAT_PCM_16, 8000, 1);
    const auto refused = [](const std::string& bytes, ErrorCode code, const std::string& words) {
        const auto header = header_of(bytes);
        ASSERT_FALSE(header.ok()) << words;
        EXPECT_EQ(header.error().code, code);
        EXPECT_NE(header.error().message.find("the stream"), std::string::npos);
        EXPECT_NE(header.error().message.find(words), std::string::npos) << header.error().message;
    };
    refused("", ErrorCode::damaged, "empty");
    refused("RIFF", ErrorCode::damaged, "not a sound stream");
    refused("some words, more than twelve", ErrorCode::damaged, "not a sound stream");
    for (std::size_t size = 12; size < 44; ++size) {
        refused(good.substr(0, size), ErrorCode::damaged, "damaged or cut short");
    }
    refused(written(SF_FORMAT_WAV | SF_FORMAT_IMA_ADPCM, 8000, 1), ErrorCode::unsupported,
            "give it as a file");
    std::string no_channels = good;
    test::put_number(no_channels, 22, 0, 2);
    refused(no_channels, ErrorCode::damaged, "0 channels");
    std::string data_first = "RIFF....WAVE" + good.substr(36, 8) + good.substr(12, 24);
    refused(data_first, ErrorCode::damaged, "damaged");
}

TEST(WavHeader, AChunkWithoutEndIsGivenUp) {
    std::string bytes = "RIFF....WAVEjunk....";
    test::put_number(bytes, 16, 0xFFFFFFF0U, 4);
    EXPECT_FALSE(header_of(bytes + std::string(1000, 'x')).ok());
}

}  // namespace
}  // namespace skedlark::audio
