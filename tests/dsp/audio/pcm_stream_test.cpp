#include "dsp/audio/pcm_stream.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <bit>

#include "tests/dsp/audio/sound_files.h"
#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

test::Heard heard(const std::string& bytes, PcmFormat format, const FileOptions& options = {}) {
    int ends[2];
    EXPECT_EQ(pipe(ends), 0);
    EXPECT_EQ(::write(ends[1], bytes.data(), bytes.size()), std::ssize(bytes));
    close(ends[1]);
    format.rate_hz = 8000.0;
    const auto source = make_pcm_stream(Descriptor(ends[0]), "stream", format, options);
    return test::read_all(*source, 3);
}

std::string packed(const std::vector<std::uint64_t>& values, int bytes_each) {
    std::string bytes(values.size() * static_cast<std::size_t>(bytes_each), '\0');
    for (std::size_t i = 0; i < values.size(); ++i) {
        test::put_number(bytes, i * static_cast<std::size_t>(bytes_each), values[i], bytes_each);
    }
    return bytes;
}

// Two's complement, little-endian; 8 bits are unsigned about 128 (RIFF WAVE).
TEST(PcmStream, EveryWidth) {
    const std::vector<float> expected{0.0F, 0.5F, -0.5F, -1.0F};
    EXPECT_EQ(heard(packed({128, 192, 64, 0}, 1), {.bits = 8}).audio, expected);
    EXPECT_EQ(heard(packed({0, 0x4000, 0xC000, 0x8000}, 2), {.bits = 16}).audio, expected);
    EXPECT_EQ(heard(packed({0, 0x400000, 0xC00000, 0x800000}, 3), {.bits = 24}).audio, expected);
    EXPECT_EQ(heard(packed({0, 0x40000000, 0xC0000000, 0x80000000}, 4), {.bits = 32}).audio,
              expected);
    std::vector<std::uint64_t> floats;
    std::vector<std::uint64_t> doubles;
    for (const float x : expected) {
        floats.push_back(std::bit_cast<std::uint32_t>(x));
        doubles.push_back(std::bit_cast<std::uint64_t>(static_cast<double>(x)));
    }
    EXPECT_EQ(heard(packed(floats, 4), {.bits = 32, .is_float = true}).audio, expected);
    EXPECT_EQ(heard(packed(doubles, 8), {.bits = 64, .is_float = true}).audio, expected);
}

TEST(PcmStream, ChannelsAndMean) {
    const std::string bytes = packed({0x1000, 0x3000, 0x2000, 0x4000}, 2);
    EXPECT_EQ(heard(bytes, {.channels = 2}, {.channel = 2}).audio,
              (std::vector<float>{0.375F, 0.5F}));
    EXPECT_EQ(heard(bytes, {.channels = 2}, {.mix = true}).audio,
              (std::vector<float>{0.25F, 0.375F}));
}

TEST(PcmStream, StopsAtThePromisedLength) {
    PcmFormat format;
    format.data_bytes = 4;
    const auto whole = heard(packed({0x4000, 0x4000, 0x1234}, 2), format);
    EXPECT_EQ(whole.audio.size(), 2U);
    EXPECT_FALSE(whole.error);
    format.data_bytes = 400;
    const auto cut = heard(packed({0x4000, 0x4000}, 2), format);
    EXPECT_EQ(cut.audio.size(), 2U);
    ASSERT_TRUE(cut.error);
    EXPECT_NE(cut.error->message.find("200 frames promised"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::audio
