#include "dsp/audio/recorder.h"

#include <gtest/gtest.h>
#include <sys/mount.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <csignal>

#include "dsp/audio/file_source.h"
#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

using std::chrono::milliseconds;
using std::chrono::steady_clock;
using test::Heard;
using test::read_all;

// 2026-03-01 23:59:58 UTC: 1772409598 s after the epoch (computed with date -u).
const std::chrono::sys_seconds kStart{std::chrono::seconds(1772409598)};

Heard heard_of(const std::string& path) {
    auto source = open_file(path, {});
    EXPECT_TRUE(source.ok()) << source.error().message;
    return source.ok() ? read_all(**source) : Heard{};
}

std::vector<float> steps_of_16_bit(std::size_t frames) {
    auto audio = test::noise(frames);
    for (float& x : audio) x = std::nearbyint(x * 32768.0F) / 32768.0F;
    return audio;
}

std::unique_ptr<Recorder> made(const RecorderConfig& config) {
    auto recorder = Recorder::create(config);
    EXPECT_TRUE(recorder.ok()) << recorder.error().message;
    return recorder.ok() ? *std::move(recorder) : nullptr;
}

RecorderConfig config_for(const test::TempFolder& folder, double rate_hz = 8000.0) {
    RecorderConfig config;
    config.folder = folder.path().string();
    config.sample_rate_hz = rate_hz;
    config.start_utc = kStart;
    return config;
}

class EveryRecording : public testing::TestWithParam<std::pair<RecordingFormat, int>> {
 protected:
    RecorderConfig config() const {
        RecorderConfig config = config_for(folder_);
        config.format = GetParam().first;
        config.bits = GetParam().second;
        return config;
    }
    std::string name(const std::string& stem) const {
        return folder_.file(stem + (GetParam().first == RecordingFormat::flac ? ".flac" : ".wav"));
    }
    test::TempFolder folder_;
};
INSTANTIATE_TEST_SUITE_P(Recorder, EveryRecording,
                         testing::Values(std::pair(RecordingFormat::flac, 16),
                                         std::pair(RecordingFormat::flac, 24),
                                         std::pair(RecordingFormat::wav, 16),
                                         std::pair(RecordingFormat::wav, 24)));

TEST_P(EveryRecording, KeepsEveryBitAcrossSegments) {
    RecorderConfig setting = config();
    setting.segment_s = 2.0;
    const auto audio = steps_of_16_bit(40123);
    const auto recorder = made(setting);
    for (std::size_t at = 0; at < audio.size();) {
        const std::size_t size = std::min<std::size_t>(audio.size() - at, 1 + at % 977);
        recorder->write(std::span(audio).subspan(at, size), static_cast<FrameIndex>(at));
        at += size;
    }
    const Status status = recorder->close();
    EXPECT_TRUE(status.ok()) << status.error().message;
    EXPECT_EQ(recorder->dropped_frames(), 0);
    // The start is two seconds before midnight; a segment is two seconds.
    const std::vector<std::string> expected{name("skedlark-20260301T235958Z"),
                                            name("skedlark-20260302T000000Z"),
                                            name("skedlark-20260302T000002Z")};
    EXPECT_EQ(recorder->files(), expected);
    std::vector<float> back;
    for (const std::string& file : recorder->files()) {
        const Heard heard = heard_of(file);
        EXPECT_FALSE(heard.error);
        back.insert(back.end(), heard.audio.begin(), heard.audio.end());
    }
    EXPECT_EQ(back, audio);
}

TEST_P(EveryRecording, NeverOverwrites) {
    test::write_bytes(name("skedlark-20260301T235958Z"), "precious");
    std::vector<std::string> files;
    for (int i = 0; i < 2; ++i) {
        const auto recorder = made(config());
        recorder->write(test::noise(100), 0);
        ASSERT_TRUE(recorder->close().ok());
        files.push_back(recorder->files().at(0));
    }
    EXPECT_EQ(test::read_bytes(name("skedlark-20260301T235958Z")), "precious");
    EXPECT_EQ(files[0], name("skedlark-20260301T235958Z-2"));
    EXPECT_EQ(files[1], name("skedlark-20260301T235958Z-3"));
}

TEST_P(EveryRecording, GapsKeepTheirTime) {
    const auto recorder = made(config());
    const auto audio = steps_of_16_bit(8000);
    recorder->write(audio, 0);
    recorder->write(audio, 12000);              // half a second was lost
    recorder->write(audio, 20000 + 8000 * 60);  // a minute was lost
    ASSERT_TRUE(recorder->close().ok());
    ASSERT_EQ(recorder->files().size(), 2U);
    const Heard first = heard_of(recorder->files()[0]);
    ASSERT_EQ(first.audio.size(), 20000U);
    for (std::size_t i = 0; i < 8000; ++i) {
        ASSERT_EQ(first.audio[i], audio[i]);
        ASSERT_EQ(first.audio[12000 + i], audio[i]);
        if (i < 4000) {
            ASSERT_EQ(first.audio[8000 + i], 0.0F);
        }
    }
    EXPECT_EQ(recorder->files()[1], name("skedlark-20260302T000100Z"));
    EXPECT_EQ(heard_of(recorder->files()[1]).audio, audio);
}

TEST_P(EveryRecording, ClipsBeyondFullScale) {
    const auto recorder = made(config());
    const std::vector<float> audio{1.0F, 2.0F, -1.0F, -3.0F, 0.0F};
    recorder->write(audio, 0);
    ASSERT_TRUE(recorder->close().ok());
    const auto back = heard_of(recorder->files()[0]).audio;
    ASSERT_EQ(back.size(), 5U);
    EXPECT_NEAR(back[0], 1.0F, 4e-5F);
    EXPECT_EQ(back[0], back[1]);
    EXPECT_EQ(back[2], -1.0F);
    EXPECT_EQ(back[3], -1.0F);
    EXPECT_EQ(back[4], 0.0F);
}

TEST_P(EveryRecording, NothingWrittenIsAnEmptyFile) {
    const auto recorder = made(config());
    ASSERT_TRUE(recorder->close().ok());
    EXPECT_EQ(recorder->files().size(), 1U);
    recorder->write(test::noise(10), 0);  // ignored after the end
    EXPECT_TRUE(recorder->close().ok());
}

// The child records in real time and is killed without warning; what it had handed to the recorder
// one second before must be in the file.
TEST(Recorder, AKilledProcessLosesLessThanASecond) {
    struct Child {
        pid_t pid;
        int progress;
        double rate_hz;
        std::unique_ptr<test::TempFolder> folder;
        RecordingFormat format;
    };
    std::mt19937_64 random(test::seed());
    std::vector<Child> children;
    for (const double rate_hz : {8000.0, 48000.0}) {
        for (const auto format : {RecordingFormat::flac, RecordingFormat::wav}) {
            auto folder = std::make_unique<test::TempFolder>();
            int ends[2];
            ASSERT_EQ(pipe(ends), 0);
            const pid_t pid = fork();
            if (pid == 0) {
                RecorderConfig config = config_for(*folder, rate_hz);
                config.format = format;
                auto recorder = Recorder::create(config);
                if (!recorder.ok()) _exit(1);
                const auto block = test::noise(static_cast<std::size_t>(rate_hz / 50.0));
                const auto start = steady_clock::now();
                for (FrameIndex at = 0, n = 0;; ++n) {
                    (*recorder)->write(block, at);
                    at += std::ssize(block);
                    if (::write(ends[1], &at, sizeof at) != sizeof at) _exit(1);
                    std::this_thread::sleep_until(start + milliseconds(20) * (n + 1));
                }
            }
            close(ends[1]);
            children.push_back({pid, ends[0], rate_hz, std::move(folder), format});
        }
    }
    std::this_thread::sleep_for(milliseconds(2500 + static_cast<int>(random() % 1000)));
    for (Child& child : children) {
        ASSERT_EQ(kill(child.pid, SIGKILL), 0);
        int how = 0;
        ASSERT_EQ(waitpid(child.pid, &how, 0), child.pid);
        ASSERT_TRUE(WIFSIGNALED(how) && WTERMSIG(how) == SIGKILL);
        FrameIndex handed = 0;
        while (::read(child.progress, &handed, sizeof handed) == sizeof handed) {
        }
        close(child.progress);
        ASSERT_GT(static_cast<double>(handed), 2.0 * child.rate_hz);
        const auto path =
            std::filesystem::directory_iterator(child.folder->path())->path().string();
        const auto kept = static_cast<FrameIndex>(heard_of(path).audio.size());
        const double lost_s = static_cast<double>(handed - kept) / child.rate_hz;
        std::printf("%s at %g Hz: %.3f s lost of %.3f s\n",
                    child.format == RecordingFormat::flac ? "FLAC" : "WAV", child.rate_hz, lost_s,
                    static_cast<double>(handed) / child.rate_hz);
        EXPECT_LT(lost_s, 1.0);
    }
}

// Runs in a child of its own, so that the limit holds for nobody else. Returns its exit status: 0
// where the full disk was reported while write() went on without waiting.
int record_until_full(const RecorderConfig& config) {
    auto recorder = Recorder::create(config);
    if (!recorder.ok()) return 2;
    const auto block = test::noise(4000);
    const auto start = steady_clock::now();
    FrameIndex at = 0;
    while ((*recorder)->status().ok()) {
        const auto call = steady_clock::now();
        (*recorder)->write(block, at);
        if (steady_clock::now() - call > milliseconds(100)) return 3;
        at += std::ssize(block);
        std::this_thread::sleep_for(milliseconds(2));
        if (steady_clock::now() - start > std::chrono::seconds(30)) return 4;
    }
    const Status status = (*recorder)->status();
    if (status.error().code != ErrorCode::disk_full) return 5;
    if (status.error().message.find(config.folder) == std::string::npos) return 6;
    (*recorder)->write(block, at);  // listening goes on
    if ((*recorder)->dropped_frames() == 0) return 7;
    return (*recorder)->close().ok() ? 8 : 0;
}

class FullDisk : public testing::TestWithParam<RecordingFormat> {};
INSTANTIATE_TEST_SUITE_P(Recorder, FullDisk,
                         testing::Values(RecordingFormat::flac, RecordingFormat::wav));

TEST_P(FullDisk, IsReportedAndWhatWasHadIsKept) {
    const test::TempFolder folder;
    RecorderConfig config = config_for(folder);
    config.format = GetParam();
    const pid_t pid = fork();
    if (pid == 0) {
        std::signal(SIGXFSZ, SIG_IGN);
        const rlimit limit{300000, 300000};
        if (setrlimit(RLIMIT_FSIZE, &limit) != 0) _exit(9);
        _exit(record_until_full(config));
    }
    int how = 0;
    ASSERT_EQ(waitpid(pid, &how, 0), pid);
    ASSERT_TRUE(WIFEXITED(how));
    EXPECT_EQ(WEXITSTATUS(how), 0);
    const auto path = std::filesystem::directory_iterator(folder.path())->path().string();
    // Noise hardly shrinks: 300,000 bytes are some 150,000 frames.
    EXPECT_GT(heard_of(path).audio.size(), 140000U);
}

TEST_P(FullDisk, ARealFullFileSystem) {
    const test::TempFolder folder;
    if (mount("tmpfs", folder.path().c_str(), "tmpfs", 0, "size=300k") != 0) {
        GTEST_SKIP() << "no right to mount; the limit on the file size stands in for it";
    }
    RecorderConfig config = config_for(folder);
    config.format = GetParam();
    EXPECT_EQ(record_until_full(config), 0);
    const auto path = std::filesystem::directory_iterator(folder.path())->path().string();
    EXPECT_GT(heard_of(path).audio.size(), 130000U);
    EXPECT_EQ(umount2(folder.path().c_str(), MNT_DETACH), 0);
}

// More than the queue holds at once: counted, never waited for.
TEST(Recorder, ASlowDiskDropsCountedFrames) {
    const test::TempFolder folder;
    RecorderConfig config = config_for(folder);
    config.queue_s = 1.0;
    const auto recorder = made(config);
    const auto block = test::noise(1000);
    const auto start = steady_clock::now();
    for (FrameIndex i = 0; i < 200; ++i) recorder->write(block, 1000 * i);
    EXPECT_LT(steady_clock::now() - start, milliseconds(500));
    EXPECT_TRUE(recorder->close().ok());
    EXPECT_GT(recorder->dropped_frames(), 0);
    EXPECT_EQ(recorder->dropped_frames() % 1000, 0);
}

TEST(Recorder, SaysWhatIsWrongWithASetting) {
    const test::TempFolder folder;
    const auto refused = [](const RecorderConfig& config, const std::string& words) {
        const auto recorder = Recorder::create(config);
        ASSERT_FALSE(recorder.ok()) << words;
        EXPECT_NE(recorder.error().message.find(words), std::string::npos)
            << recorder.error().message;
    };
    RecorderConfig config = config_for(folder);
    config.folder = folder.file("nothing");
    refused(config, "nothing");
    test::write_bytes(folder.file("a file"), "x");
    config.folder = folder.file("a file");
    refused(config, "a file");
    config.folder = "/proc/self";  // nothing can be made there, not even by root
    refused(config, "/proc/self");
    config = config_for(folder, 1.0);
    refused(config, "8000 to 192000");
    config = config_for(folder);
    config.bits = 8;
    refused(config, "16 or 24");
    config = config_for(folder, 192000.0);
    config.segment_s = 1e6;  // 384 GB
    refused(config, "segment_s");
    config = config_for(folder);
    config.segment_s = 0.0;
    refused(config, "segment_s");
    config = config_for(folder);
    config.queue_s = std::nan("");
    refused(config, "queue_s");
    config = config_for(folder);
    config.prefix = "../up";
    refused(config, "prefix");
}

}  // namespace
}  // namespace skedlark::audio
