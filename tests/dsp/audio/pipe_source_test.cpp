#include <fcntl.h>
#include <gtest/gtest.h>
#include <unistd.h>

#include <chrono>
#include <csignal>
#include <thread>

#include "dsp/audio/file_source.h"
#include "tests/dsp/audio/sound_files.h"
#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

using std::chrono::milliseconds;
using std::chrono::steady_clock;
using test::Heard;
using test::read_all;

struct Pipe {
    Pipe() { EXPECT_EQ(pipe2(ends, O_CLOEXEC), 0); }
    int ends[2] = {-1, -1};
};

// Writes bytes in pieces of random size with a pause between them, then closes.
std::thread writer(int end, std::string bytes, std::size_t piece, milliseconds pause) {
    return std::thread([=] {
        std::mt19937_64 random(test::seed());
        for (std::size_t at = 0; at < bytes.size();) {
            const std::size_t size = std::min(bytes.size() - at, 1 + random() % piece);
            if (::write(end, bytes.data() + at, size) != static_cast<ssize_t>(size)) break;
            at += size;
            std::this_thread::sleep_for(pause);
        }
        close(end);
    });
}

Heard through_pipe(const std::string& bytes, const FileOptions& options, std::size_t piece = 9000,
                   milliseconds pause = milliseconds(0)) {
    Pipe pipe;
    std::thread feeding = writer(pipe.ends[1], bytes, piece, pause);
    auto source = open_descriptor(pipe.ends[0], "the pipe", options);
    EXPECT_TRUE(source.ok()) << source.error().message;
    Heard heard = source.ok() ? read_all(**source) : Heard{};
    if (source.ok()) {
        EXPECT_TRUE((*source)->is_live());
        source->reset();  // or the writer waits for ever where the reader had enough
    }
    feeding.join();
    return heard;
}

std::string wav_bytes(int format, const std::vector<float>& audio, int channels = 1) {
    const test::TempFolder folder;
    test::write_sound(folder.file("a.wav"), format, 48000, audio, channels);
    return test::read_bytes(folder.file("a.wav"));
}

std::string raw_bytes(const std::vector<float>& audio) {
    std::string bytes;
    for (const float x : audio) {
        const auto number = static_cast<std::int16_t>(std::lround(x * 32768.0F));
        bytes.push_back(static_cast<char>(number & 0xFF));
        bytes.push_back(static_cast<char>(number >> 8));
    }
    return bytes;
}

class Pipes : public testing::Test {
 protected:
    void SetUp() override { std::signal(SIGPIPE, SIG_IGN); }
};

TEST_F(Pipes, WavOfAnyKindAndSize) {
    const auto audio = test::noise(60000);
    for (const int kind : {SF_FORMAT_PCM_16, SF_FORMAT_PCM_24, SF_FORMAT_FLOAT}) {
        for (const std::int64_t size : {std::int64_t{-1}, std::int64_t{0}, std::int64_t{0xFFFFFFFF},
                                        std::int64_t{0x7FFFF000}}) {
            std::string bytes = wav_bytes(SF_FORMAT_WAV | kind, audio);
            if (size >= 0) {
                const std::size_t data = bytes.find("data");
                ASSERT_NE(data, std::string::npos);
                test::put_number(bytes, 4, static_cast<std::uint64_t>(size), 4);
                test::put_number(bytes, data + 4, static_cast<std::uint64_t>(size), 4);
            }
            const Heard heard = through_pipe(bytes, {});
            EXPECT_FALSE(heard.error) << heard.error->message;
            ASSERT_GE(heard.audio.size(), audio.size()) << kind << " " << size;
            EXPECT_LE(heard.audio.size(), audio.size() + 16);
            EXPECT_LT(test::error_db(heard.audio, audio, 0, audio.size()), -80.0);
        }
    }
}

TEST_F(Pipes, SlowPiecesThatSplitFrames) {
    const auto audio = test::noise(6000);
    const Heard wav = through_pipe(wav_bytes(SF_FORMAT_WAV | SF_FORMAT_PCM_24, audio, 2),
                                   {.channel = 2}, 301, milliseconds(2));
    EXPECT_FALSE(wav.error) << wav.error->message;
    ASSERT_EQ(wav.audio.size(), 3000U);
    for (std::size_t i = 0; i < 3000; ++i) ASSERT_NEAR(wav.audio[i], audio[2 * i + 1], 1e-6F);
    const Heard raw =
        through_pipe(raw_bytes(audio), {.raw_rate_hz = 48000.0}, 101, milliseconds(1));
    EXPECT_FALSE(raw.error);
    ASSERT_EQ(raw.audio.size(), audio.size());
    EXPECT_LT(test::error_db(raw.audio, audio, 0, audio.size()), -85.0);
}

TEST_F(Pipes, CutShortIsReadThenTold) {
    const std::string wav = wav_bytes(SF_FORMAT_WAV | SF_FORMAT_PCM_16, test::noise(20000));
    const Heard cut = through_pipe(wav.substr(0, 20044), {});
    ASSERT_TRUE(cut.error);
    EXPECT_NE(cut.error->message.find("the pipe"), std::string::npos);
    EXPECT_EQ(cut.audio.size(), 10000U);
    const Heard odd = through_pipe(std::string(1001, 'x'), {.raw_rate_hz = 8000.0});
    ASSERT_TRUE(odd.error);
    EXPECT_EQ(odd.error->code, ErrorCode::damaged);
    EXPECT_EQ(odd.audio.size(), 500U);
}

TEST_F(Pipes, EmptyAndWrongInput) {
    for (const std::string& bytes : {std::string(), std::string("just some words\n")}) {
        Pipe pipe;
        std::thread feeding = writer(pipe.ends[1], bytes, 100, milliseconds(0));
        const auto source = open_descriptor(pipe.ends[0], "the pipe", {});
        feeding.join();
        ASSERT_FALSE(source.ok());
        EXPECT_NE(source.error().message.find("the pipe"), std::string::npos);
    }
    EXPECT_TRUE(through_pipe("", {.raw_rate_hz = 8000.0}).audio.empty());
    for (const double rate_hz : {1.0, 1e7, -8000.0}) {
        const auto source = open_descriptor(dup(0), "the pipe", {.raw_rate_hz = rate_hz});
        ASSERT_FALSE(source.ok());
        EXPECT_NE(source.error().message.find("8000 to 192000"), std::string::npos);
    }
}

// A writer that goes quiet holds neither the reader nor the end: design limit 0.2 s a call.
TEST_F(Pipes, AQuietWriterDoesNotHoldTheReader) {
    for (const bool raw : {true, false}) {
        Pipe pipe;
        const auto audio = test::noise(1000);
        const std::string bytes =
            raw ? raw_bytes(audio) : wav_bytes(SF_FORMAT_WAV | SF_FORMAT_PCM_16, audio);
        // One byte too few, so that the last frame stays incomplete.
        const std::size_t size = bytes.size() - 1;
        ASSERT_EQ(::write(pipe.ends[1], bytes.data(), size), static_cast<ssize_t>(size));
        FileOptions options;
        if (raw) options.raw_rate_hz = 48000.0;
        auto source = open_descriptor(pipe.ends[0], "the pipe", options);
        ASSERT_TRUE(source.ok()) << source.error().message;
        std::vector<float> block(4096);
        int frames = 0;
        for (int i = 0; i < 4; ++i) {
            const auto start = steady_clock::now();
            const auto result = (*source)->read(block);
            ASSERT_TRUE(result.ok());
            EXPECT_FALSE(result->end);
            frames += result->frames;
            EXPECT_LT(steady_clock::now() - start, milliseconds(400));
        }
        EXPECT_EQ(frames, 999);
        (*source)->request_stop();
        const auto last = (*source)->read(block);
        ASSERT_TRUE(last.ok());
        EXPECT_TRUE(last->end);
        close(pipe.ends[1]);
    }
}

TEST_F(Pipes, DashIsStandardInput) {
    Pipe pipe;
    const int kept = dup(STDIN_FILENO);
    ASSERT_EQ(dup2(pipe.ends[0], STDIN_FILENO), STDIN_FILENO);
    close(pipe.ends[0]);
    std::thread feeding = writer(pipe.ends[1], raw_bytes(test::noise(500)), 100, milliseconds(0));
    auto source = open_file("-", {.raw_rate_hz = 8000.0});
    ASSERT_TRUE(source.ok());
    EXPECT_EQ((*source)->name(), "standard input");
    EXPECT_EQ(read_all(**source).audio.size(), 500U);
    feeding.join();
    dup2(kept, STDIN_FILENO);
    close(kept);
}

}  // namespace
}  // namespace skedlark::audio
