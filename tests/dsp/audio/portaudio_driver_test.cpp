// PortAudio itself, through a virtual sound card; runs inside `virtual-audio.sh run --
// audio_live_test`.
#include <gtest/gtest.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <thread>

#include "dsp/audio/live_source.h"
#include "dsp/audio/work_rate_source.h"
#include "tests/dsp/audio/sound_files.h"
#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

using std::chrono::milliseconds;
using std::chrono::steady_clock;

constexpr int kRateHz = 48000;

std::string script() { return VIRTUAL_AUDIO_SCRIPT; }

int card(const std::string& verb) { return std::system((script() + " " + verb).c_str()); }

// Plays a file into the card until it ends or the object does.
class Player {
 public:
    explicit Player(const std::string& path) {
        const std::string program = script();
        std::string verb = "play";
        std::string file = path;
        char* arguments[] = {const_cast<char*>(program.c_str()), verb.data(), file.data(), nullptr};
        EXPECT_EQ(posix_spawn(&pid_, program.c_str(), nullptr, nullptr, arguments, environ), 0);
    }
    Player(const Player&) = delete;
    Player& operator=(const Player&) = delete;
    ~Player() {
        kill(pid_, SIGTERM);
        waitpid(pid_, nullptr, 0);
    }

 private:
    pid_t pid_ = 0;
};

class Live : public testing::Test {
 protected:
    void SetUp() override {
        ASSERT_NE(std::getenv("VIRTUAL_AUDIO_DIR"), nullptr) << "run as: virtual-audio.sh run -- "
                                                             << "audio_live_test";
    }
    // Whatever a test did to the card, the next one finds it running.
    void TearDown() override {
        source_.reset();
        card("thaw 2>/dev/null");
        card("restart");
    }
    void open(LiveConfig config = {.device = "vcable_monitor", .rate_hz = kRateHz}) {
        auto made = open_live(config);
        ASSERT_TRUE(made.ok()) << made.error().message;
        source_ = *std::move(made);
    }
    void listen(double seconds) {
        const auto until = steady_clock::now() + std::chrono::duration<double>(seconds);
        std::vector<float> block(4096);
        while (steady_clock::now() < until) {
            const auto call = steady_clock::now();
            const auto result = source_->read(block);
            EXPECT_LT(steady_clock::now() - call, milliseconds(500));
            ASSERT_TRUE(result.ok()) << result.error().message;
            EXPECT_EQ(result->first_frame, position_ + result->lost_frames);
            position_ = result->first_frame + result->frames;
            lost_ += result->lost_frames;
            if (result->frames == 0) continue;
            if (audio_.empty()) started_ = steady_clock::now();
            audio_.insert(audio_.end(), block.begin(), block.begin() + result->frames);
        }
    }
    // The frame index against the clock, in seconds.
    [[nodiscard]] double off_s() const {
        const std::chrono::duration<double> passed = steady_clock::now() - started_;
        return static_cast<double>(position_) / kRateHz - passed.count();
    }

    test::TempFolder folder_;
    std::unique_ptr<LiveSource> source_;
    std::vector<float> audio_;
    FrameIndex position_ = 0;
    FrameIndex lost_ = 0;
    steady_clock::time_point started_;
};

TEST_F(Live, ListsTheCard) {
    const auto devices = list_devices();
    ASSERT_TRUE(devices.ok()) << devices.error().message;
    int defaults = 0;
    bool found = false;
    for (const DeviceInfo& device : *devices) {
        std::printf("%s (%s) %d channels, %g Hz\n", device.name.c_str(), device.host_api.c_str(),
                    device.channels, device.default_rate_hz);
        EXPECT_GE(device.channels, 1);
        defaults += device.is_default ? 1 : 0;
        found = found || device.name == "vcable_monitor";
    }
    EXPECT_TRUE(found);
    EXPECT_EQ(defaults, 1);
}

TEST_F(Live, AMissingDeviceIsAnErrorThatListsTheOthers) {
    const auto made = open_live({.device = "no such card"});
    ASSERT_FALSE(made.ok());
    EXPECT_EQ(made.error().code, ErrorCode::not_found);
    EXPECT_NE(made.error().message.find("vcable_monitor"), std::string::npos);
    open();  // and the sound system is free again
}

TEST_F(Live, OneInputAtATime) {
    open();
    const auto second = open_live({.device = "vcable_monitor"});
    ASSERT_FALSE(second.ok());
    EXPECT_NE(second.error().message.find("already in use"), std::string::npos);
    EXPECT_TRUE(list_devices().ok());  // looking at them is no second input
    listen(0.3);
    source_.reset();
    EXPECT_TRUE(list_devices().ok());
}

// What is played is captured to the last bit: 16-bit samples are exact in float.
TEST_F(Live, CapturesEveryBit) {
    std::mt19937_64 random(test::seed());
    std::vector<float> played(3 * kRateHz);
    for (float& x : played) {
        x = static_cast<float>(static_cast<int>(random() % 65535) - 32767) / 32768.0F;
        if (x == 0.0F) x = 1.0F / 32768.0F;  // so that the start can be seen
    }
    // Written by hand: the library's float writer would scale by 32767.
    test::write_sound(folder_.file("a.wav"), SF_FORMAT_WAV | SF_FORMAT_PCM_16, kRateHz, played);
    std::string bytes = test::read_bytes(folder_.file("a.wav"));
    for (std::size_t i = 0; i < played.size(); ++i) {
        const auto number = static_cast<std::int16_t>(played[i] * 32768.0F);
        test::put_number(bytes, 44 + 2 * i, static_cast<std::uint16_t>(number), 2);
    }
    test::write_bytes(folder_.file("a.wav"), bytes);
    open();
    listen(0.3);
    const Player player(folder_.file("a.wav"));
    listen(4.5);
    EXPECT_EQ(lost_, 0);
    const auto start = std::find_if(audio_.begin(), audio_.end(), [](float x) { return x != 0; });
    ASSERT_GE(audio_.end() - start, std::ssize(played));
    std::size_t wrong = 0;
    for (std::size_t i = 0; i < played.size(); ++i) {
        if (start[static_cast<std::ptrdiff_t>(i)] != played[i]) ++wrong;
    }
    EXPECT_EQ(wrong, 0U);
}

TEST_F(Live, OtherRatesComeResampledByTheServer) {
    open({.device = "vcable_monitor", .rate_hz = 44100.0});
    EXPECT_EQ(source_->sample_rate_hz(), 44100.0);
    listen(0.5);
    EXPECT_GT(audio_.size(), 10000U);
}

// The gap is marked with its true length and the tone goes on; limit 0.15 s for the time the sound
// server takes to hand over its first block.
TEST_F(Live, AKilledServerIsWaitedFor) {
    open();
    listen(1.0);
    ASSERT_EQ(card("kill"), 0);
    listen(2.0);
    EXPECT_TRUE(source_->is_away());
    EXPECT_GT(lost_, kRateHz);
    ASSERT_EQ(card("restart"), 0);
    listen(2.0);
    EXPECT_FALSE(source_->is_away());
    test::write_sound(folder_.file("tone.wav"), SF_FORMAT_WAV | SF_FORMAT_PCM_16, kRateHz,
                      test::sine(700.0, kRateHz, kRateHz));
    audio_.clear();
    const auto keep = started_;
    {
        const Player player(folder_.file("tone.wav"));
        listen(1.0);
    }
    started_ = keep;
    EXPECT_GT(test::rms_db(audio_, audio_.size() / 2, audio_.size()), -20.0) << "the tone is heard";
    EXPECT_NEAR(off_s(), 0.0, 0.15);
}

TEST_F(Live, AFrozenServerIsWaitedFor) {
    open();
    listen(1.0);
    ASSERT_EQ(card("freeze"), 0);
    listen(2.5);
    EXPECT_GT(lost_, kRateHz);
    ASSERT_EQ(card("thaw"), 0);
    listen(3.0);
    EXPECT_FALSE(source_->is_away());
    EXPECT_NEAR(off_s(), 0.0, 0.15);
}

TEST_F(Live, AFrozenServerDoesNotHoldTheEnd) {
    open();
    listen(0.5);
    ASSERT_EQ(card("freeze"), 0);
    const auto start = steady_clock::now();
    source_.reset();
    EXPECT_LT(steady_clock::now() - start, milliseconds(3000));
}

TEST_F(Live, GoesThroughTheWorkRate) {
    test::write_sound(folder_.file("tone.wav"), SF_FORMAT_WAV | SF_FORMAT_PCM_16, kRateHz,
                      test::sine(700.0, kRateHz, 3 * kRateHz));
    open();
    auto work = WorkRateSource::create(std::move(source_));
    ASSERT_TRUE(work.ok());
    const Player player(folder_.file("tone.wav"));
    const auto until = steady_clock::now() + std::chrono::seconds(2);
    std::vector<float> block(1000);
    std::vector<float> audio;
    while (steady_clock::now() < until) {
        const auto result = (*work)->read(block);
        ASSERT_TRUE(result.ok());
        EXPECT_FALSE(result->lost);
        audio.insert(audio.end(), block.begin(), block.begin() + result->frames);
    }
    EXPECT_NEAR(static_cast<double>(audio.size()), 16000.0, 2400.0);
    // Pitch by zero crossings over the last second of tone heard.
    ASSERT_GT(audio.size(), 12000U);
    int crossings = 0;
    for (std::size_t i = audio.size() - 8000; i < audio.size(); ++i) {
        crossings += audio[i - 1] < 0.0F && audio[i] >= 0.0F ? 1 : 0;
    }
    EXPECT_NEAR(crossings, 700, 2);
    (*work)->request_stop();
    bool ended = false;
    for (int i = 0; i < 1000 && !ended; ++i) ended = (*work)->read(block)->end;
    EXPECT_TRUE(ended);
}

}  // namespace
}  // namespace skedlark::audio
