// What can be wrong with a file, one by one: each gives a clear error naming the file, never a
// crash, a hang or a large allocation, and what could be read is had first.
#include <gtest/gtest.h>
#include <malloc.h>

#include <limits>

#include "dsp/audio/file_source.h"
#include "tests/dsp/audio/sound_files.h"
#include "tests/dsp/audio/support.h"

// libsndfile 1.2.0 does not free the Vorbis state of a damaged Ogg file that it refuses.
extern "C" const char* __lsan_default_suppressions();
extern "C" const char* __lsan_default_suppressions() { return "leak:vorbis_info_init\n"; }

namespace skedlark::audio {
namespace {

using test::Heard;
using test::put_number;
using test::read_all;
using test::read_bytes;
using test::TempFolder;
using test::write_bytes;
using test::write_sound;

constexpr int kWav16 = SF_FORMAT_WAV | SF_FORMAT_PCM_16;

void expect_refused(const std::string& path, ErrorCode code, const std::string& words) {
    const auto source = open_file(path, {});
    ASSERT_FALSE(source.ok()) << path;
    EXPECT_EQ(source.error().code, code) << source.error().message;
    EXPECT_NE(source.error().message.find(path), std::string::npos) << source.error().message;
    EXPECT_NE(source.error().message.find(words), std::string::npos) << source.error().message;
}

Heard heard_of(const std::string& path) {
    auto source = open_file(path, {});
    EXPECT_TRUE(source.ok()) << source.error().message;
    return source.ok() ? read_all(**source) : Heard{};
}

TEST(BadInput, NoSoundFileAtAll) {
    const TempFolder folder;
    expect_refused(folder.file("missing.wav"), ErrorCode::not_found, "no such file");
    expect_refused(folder.file("missing/a.wav"), ErrorCode::not_found, "no such file");
    expect_refused(folder.path().string(), ErrorCode::unreadable, "directory");
    write_bytes(folder.file("empty.wav"), "");
    expect_refused(folder.file("empty.wav"), ErrorCode::damaged, "empty");
    write_bytes(folder.file("text.wav"), "The set stands in the hut by the window.\n");
    expect_refused(folder.file("text.wav"), ErrorCode::damaged, "not a sound file");
    write_bytes(folder.file("head.wav"), "RIFF");
    expect_refused(folder.file("head.wav"), ErrorCode::damaged, "not a sound file");
}

TEST(BadInput, RatesOutOfRange) {
    const TempFolder folder;
    write_sound(folder.file("a.wav"), kWav16, 48000, test::noise(100));
    const std::string good = read_bytes(folder.file("a.wav"));
    for (const unsigned rate_hz : {0U, 1U, 7999U, 192001U, 10000000U, 0xFFFFFFFFU}) {
        std::string bytes = good;
        put_number(bytes, 24, rate_hz, 4);
        const std::string path = folder.file(std::to_string(rate_hz) + ".wav");
        write_bytes(path, bytes);
        const auto source = open_file(path, {});
        ASSERT_FALSE(source.ok()) << rate_hz;
        EXPECT_NE(source.error().message.find(path), std::string::npos);
        // 0 and beyond 31 bits are refused by the reader itself as a damaged header.
        if (rate_hz == 0 || rate_hz > 0x7FFFFFFFU) continue;
        EXPECT_EQ(source.error().code, ErrorCode::unsupported);
        EXPECT_NE(source.error().message.find(std::to_string(rate_hz)), std::string::npos);
        EXPECT_NE(source.error().message.find("8000 to 192000"), std::string::npos);
    }
    for (const int rate_hz : {8000, 192000}) {
        write_sound(folder.file("edge.wav"), kWav16, rate_hz, test::noise(100));
        EXPECT_EQ(heard_of(folder.file("edge.wav")).audio.size(), 100U);
    }
}

struct Kind {
    const char* name;
    int format;
    bool exact;  // what is there of half a file is had to within a block
};
const Kind kKinds[] = {
    {"wav", kWav16, true},
    {"rf64", SF_FORMAT_RF64 | SF_FORMAT_PCM_16, true},
    {"aiff", SF_FORMAT_AIFF | SF_FORMAT_PCM_16, true},
    {"au", SF_FORMAT_AU | SF_FORMAT_PCM_16, true},
    {"flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16, true},
    {"vorbis", SF_FORMAT_OGG | SF_FORMAT_VORBIS, false},
    {"opus", SF_FORMAT_OGG | SF_FORMAT_OPUS, false},
    {"mp3", SF_FORMAT_MPEG | SF_FORMAT_MPEG_LAYER_III, false},
};

class EveryKind : public testing::TestWithParam<Kind> {};
INSTANTIATE_TEST_SUITE_P(BadInput, EveryKind, testing::ValuesIn(kKinds),
                         [](const auto& row) { return std::string(row.param.name); });

TEST_P(EveryKind, CutShortIsReadThenTold) {
    const TempFolder folder;
    constexpr std::size_t kFrames = 480000;
    const auto audio = test::noise(kFrames);
    const std::string path = folder.file("cut");
    write_sound(path, GetParam().format, 48000, audio);
    const std::string whole = read_bytes(path);
    write_bytes(path, whole.substr(0, whole.size() / 2));
    const Heard heard = heard_of(path);
    ASSERT_TRUE(heard.error);
    EXPECT_EQ(heard.error->code, ErrorCode::damaged);
    EXPECT_NE(heard.error->message.find(path), std::string::npos);
    EXPECT_NE(heard.error->message.find("cut short"), std::string::npos) << heard.error->message;
    EXPECT_LT(heard.audio.size(), kFrames * 6 / 10);
    EXPECT_GT(heard.audio.size(), kFrames * 35 / 100);
    if (!GetParam().exact) return;
    EXPECT_NEAR(static_cast<double>(heard.audio.size()), 0.5 * kFrames, 5000.0);
    EXPECT_LT(test::error_db(heard.audio, audio, 0, heard.audio.size()), -80.0);
}

// Random bytes in the middle: compressed kinds may lose a stretch, but what follows stands at its
// time again (FLAC numbers its frames), and nothing is lost untold.
TEST(BadInput, DamagedFlacGoesOnBehindTheDamage) {
    const TempFolder folder;
    const auto audio = test::noise(480000);
    const std::string path = folder.file("hurt.flac");
    write_sound(path, SF_FORMAT_FLAC | SF_FORMAT_PCM_16, 48000, audio);
    std::string bytes = read_bytes(path);
    std::mt19937_64 random(test::seed());
    for (std::size_t i = 0; i < 3000; ++i)
        bytes[bytes.size() / 2 + i] = static_cast<char>(random());
    write_bytes(path, bytes);
    auto source = open_file(path, {});
    ASSERT_TRUE(source.ok());
    std::vector<float> block(4096);
    std::vector<float> got;
    FrameIndex lost = 0;
    double wrong = 0.0;
    while (true) {
        const auto result = (*source)->read(block);
        ASSERT_TRUE(result.ok()) << result.error().message;
        lost += result->lost_frames;
        if (result->lost_frames > 0) {
            EXPECT_NE(result->lost_reason.find(path), std::string::npos);
        }
        for (int i = 0; i < result->frames; ++i) {
            const auto at = static_cast<std::size_t>(result->first_frame + i);
            wrong = std::max(wrong, static_cast<double>(
                                        std::fabs(block[static_cast<std::size_t>(i)] - audio[at])));
        }
        if (result->end) {
            EXPECT_EQ(result->first_frame, 480000);
            break;
        }
    }
    EXPECT_GT(lost, 0);
    EXPECT_LT(lost, 24000);  // half a second for three thousand bytes
    EXPECT_LT(wrong, 1e-4);
}

TEST(BadInput, ValuesThatAreNoNumbersBecomeSilenceAndAreCounted) {
    const TempFolder folder;
    std::vector<float> audio = test::noise(1000);
    const std::vector<float> clean = audio;
    const float infinity = std::numeric_limits<float>::infinity();
    audio[3] = std::numeric_limits<float>::quiet_NaN();
    audio[500] = infinity;
    audio[501] = -infinity;
    audio[999] = 1e30F;
    write_sound(folder.file("nan.wav"), SF_FORMAT_WAV | SF_FORMAT_FLOAT, 48000, audio);
    auto source = open_file(folder.file("nan.wav"), {});
    ASSERT_TRUE(source.ok());
    const Heard heard = read_all(**source);
    EXPECT_EQ((*source)->bad_samples(), 4);
    for (std::size_t i = 0; i < clean.size(); ++i) {
        const bool bad = i == 3 || i == 500 || i == 501 || i == 999;
        EXPECT_EQ(heard.audio[i], bad ? 0.0F : clean[i]);
    }
}

std::size_t heap_bytes() {
    const struct mallinfo2 info = mallinfo2();
    return info.uordblks + info.hblkhd;
}

TEST(BadInput, HugeFrameCountsTakeNoMemory) {
    const TempFolder folder;
    const auto audio = test::noise(20000);
    const auto huge = [&](const char* name, int format, std::size_t at, std::uint64_t value,
                          int size, bool big_endian) {
        const std::string path = folder.file(name);
        write_sound(path, format, 48000, audio);
        std::string bytes = read_bytes(path);
        put_number(bytes, at, value, size, big_endian);
        write_bytes(path, bytes);
        const std::size_t before = heap_bytes();
        auto source = open_file(path, {});
        if (!source) {
            EXPECT_NE(source.error().message.find(path), std::string::npos);
            return;
        }
        std::vector<float> block(1000);
        FrameIndex got = 0;
        for (bool more = true; more;) {
            const auto result = (*source)->read(block);
            more = result.ok() && !result->end;
            if (result.ok()) got += result->frames;
            if (!result.ok()) {
                EXPECT_NE(result.error().message.find("cut short"), std::string::npos);
            }
            ASSERT_LT(heap_bytes(), before + 4000000) << name;
        }
        EXPECT_GE(got, 15000) << name;
    };
    huge("a.wav", kWav16, 40, 0x7FFFEFF0U, 4, false);
    huge("b.wav", kWav16, 40, 0xFFFFFFF0U, 4, false);
    huge("a.aiff", SF_FORMAT_AIFF | SF_FORMAT_PCM_16, 22, 0x7FFFFFFFU, 4, true);
    huge("a.au", SF_FORMAT_AU | SF_FORMAT_PCM_16, 8, 0x7FFFEFF0U, 4, true);
    huge("a.flac", SF_FORMAT_FLAC | SF_FORMAT_PCM_16, 22, 0xFFFFFFFFU, 4, true);
}

// A file written through a pipe by a streaming program says 0 or 0xFFFFFFFF: not cut short.
TEST(BadInput, PlaceholderSizesAreNotDamage) {
    const TempFolder folder;
    const auto audio = test::noise(20000);
    for (const std::uint32_t size : {0U, 0x7FFFF000U, 0xFFFFFFFFU}) {
        write_sound(folder.file("a.wav"), kWav16, 48000, audio);
        std::string bytes = read_bytes(folder.file("a.wav"));
        put_number(bytes, 4, size, 4);
        put_number(bytes, 40, size, 4);
        write_bytes(folder.file("a.wav"), bytes);
        const Heard heard = heard_of(folder.file("a.wav"));
        EXPECT_FALSE(heard.error) << heard.error->message;
        EXPECT_EQ(heard.audio.size(), 20000U) << size;
    }
}

// Random bytes anywhere, also in headers: any answer will do but a crash, a hang, or a bad float.
TEST_P(EveryKind, SurvivesRandomDamage) {
    const TempFolder folder;
    const std::string path = folder.file("hurt");
    write_sound(path, GetParam().format, 48000, test::noise(48000));
    const std::string whole = read_bytes(path);
    std::mt19937_64 random(test::seed());
    std::vector<float> block(4096);
    for (int round = 0; round < 60; ++round) {
        std::string bytes =
            whole.substr(0, round % 3 == 0 ? random() % whole.size() : whole.size());
        const std::size_t span =
            round % 2 == 0 ? std::min<std::size_t>(200, bytes.size()) : bytes.size();
        for (int i = 0; i < 12 && span > 0; ++i) {
            bytes[random() % span] = static_cast<char>(random());
        }
        write_bytes(path, bytes);
        auto source = open_file(path, {});
        if (!source) continue;
        FrameIndex last = 0;
        for (int reads = 0; reads < 100000; ++reads) {
            const auto result = (*source)->read(block);
            if (!result || result->end) break;
            ASSERT_GE(result->first_frame, last);
            last = result->first_frame + result->frames;
            for (int i = 0; i < result->frames; ++i) {
                ASSERT_TRUE(std::isfinite(block[static_cast<std::size_t>(i)]));
            }
        }
    }
}

}  // namespace
}  // namespace skedlark::audio
