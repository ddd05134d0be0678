// Live capture against a sound system made up here, which goes away, loses frames and hangs on
// command. Every sample holds its own true index, so that time can be checked to the frame.
#include "dsp/audio/live_source.h"

#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <thread>

#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

using std::chrono::milliseconds;
using std::chrono::steady_clock;

constexpr double kRateHz = 8000.0;
constexpr int kBlock = 80;  // 10 ms

struct Wires {
    std::atomic<bool> present{true};     // in the list of devices
    std::atomic<bool> running{true};     // stream active
    std::atomic<bool> delivering{true};  // blocks reach the callback; time goes on all the same
    std::atomic<bool> flag_overflow{false};
    std::atomic<bool> hang_close{false};
    std::atomic<bool> hang_init{false};
    std::atomic<int> inits{0};
    std::atomic<int> opens{0};
    std::atomic<int> alive{0};  // driver objects
    const steady_clock::time_point start = steady_clock::now();
    std::int64_t true_frame() const {
        return static_cast<std::int64_t>(
            kRateHz * std::chrono::duration<double>(steady_clock::now() - start).count());
    }
};

class MadeUpDriver final : public CaptureDriver {
 public:
    explicit MadeUpDriver(std::shared_ptr<Wires> wires) : wires_(std::move(wires)) {
        ++wires_->alive;
    }
    ~MadeUpDriver() override {
        stop();
        --wires_->alive;
    }
    Status init() override {
        ++wires_->inits;
        wait_while(wires_->hang_init);
        return Done{};
    }
    std::vector<DeviceInfo> devices() override {
        std::vector<DeviceInfo> list{{0, "other", "made up", 1, kRateHz, true}};
        if (wires_->present) list.push_back({1, "card", "made up", 1, kRateHz, false});
        return list;
    }
    Status open(const DeviceInfo& device, const CaptureFormat& format,
                CaptureBuffer& buffer) override {
        if (format.rate_hz != kRateHz) return Error{ErrorCode::unreadable, device.name + ": rate"};
        ++wires_->opens;
        wires_->running = true;
        stop_ = false;
        feeder_ = std::thread([this, &buffer] { feed(buffer); });
        return Done{};
    }
    bool is_active() override { return wires_->running; }
    void close() override {
        wait_while(wires_->hang_close);
        stop();
    }
    void quit() override {}

 private:
    void feed(CaptureBuffer& buffer) {
        std::vector<float> block(kBlock);
        std::int64_t next = wires_->true_frame();
        while (!stop_) {
            std::this_thread::sleep_for(milliseconds(2));
            while (!stop_ && next + kBlock <= wires_->true_frame()) {
                for (int i = 0; i < kBlock; ++i) {
                    block[static_cast<std::size_t>(i)] = static_cast<float>(next + i);
                }
                next += kBlock;
                if (wires_->delivering && wires_->running) {
                    buffer.put(block.data(), kBlock, 1, wires_->flag_overflow.exchange(false));
                }
            }
        }
    }
    void stop() {
        stop_ = true;
        if (feeder_.joinable()) feeder_.join();
    }
    static void wait_while(const std::atomic<bool>& hanging) {
        while (hanging) std::this_thread::sleep_for(milliseconds(5));
    }

    std::shared_ptr<Wires> wires_;
    std::atomic<bool> stop_{false};
    std::thread feeder_;
};

struct Listener {
    explicit Listener(LiveConfig config = {}) {
        config.device = "card";
        auto made = open_live_with(std::make_unique<MadeUpDriver>(wires), config);
        EXPECT_TRUE(made.ok()) << made.error().message;
        if (made.ok()) source = *std::move(made);
    }
    // Reads for so long; the samples tell how far the index is off the truth.
    void listen(double seconds) {
        const auto until = steady_clock::now() + std::chrono::duration<double>(seconds);
        std::vector<float> block(1000);
        while (steady_clock::now() < until && !error) {
            const auto call = steady_clock::now();
            const auto result = source->read(block);
            EXPECT_LT(steady_clock::now() - call, milliseconds(400));
            if (!result.ok()) {
                error = result.error();
                return;
            }
            EXPECT_EQ(result->first_frame, position + result->lost_frames);
            position = result->first_frame + result->frames;
            lost += result->lost_frames;
            if (result->lost_frames > 0) reasons.push_back(result->lost_reason);
            if (result->frames == 0) continue;
            for (int i = 1; i < result->frames; ++i) {
                ASSERT_EQ(block[static_cast<std::size_t>(i)], block[0] + static_cast<float>(i));
            }
            if (!offset) offset = block[0] - static_cast<float>(result->first_frame);
            off_frames = static_cast<double>(block[0]) - static_cast<double>(result->first_frame) -
                         static_cast<double>(*offset);
        }
    }
    std::shared_ptr<Wires> wires = std::make_shared<Wires>();
    std::unique_ptr<LiveSource> source;
    std::optional<Error> error;
    std::optional<float> offset;
    double off_frames = 0.0;  // of the last block
    FrameIndex position = 0;
    FrameIndex lost = 0;
    std::vector<std::string> reasons;
};

// The steady clock against the made-up card: callbacks come up to some milliseconds late.
constexpr double kClockError = 0.030 * kRateHz;

TEST(LiveSource, GivesEverySampleInOrder) {
    Listener listener;
    listener.listen(1.0);
    EXPECT_EQ(listener.lost, 0);
    EXPECT_GT(listener.position, 6000);
    EXPECT_EQ(listener.off_frames, 0.0);
    EXPECT_EQ(listener.source->name(), "card");
    EXPECT_TRUE(listener.source->is_live());
    listener.source->request_stop();
    std::vector<float> block(100000);
    bool ended = false;
    for (int i = 0; i < 1000 && !ended; ++i) ended = listener.source->read(block)->end;
    EXPECT_TRUE(ended);
}

TEST(LiveSource, AFlaggedOverflowIsMeasured) {
    Listener listener;
    listener.listen(0.6);
    listener.wires->delivering = false;
    listener.listen(0.3);
    listener.wires->flag_overflow = true;
    listener.wires->delivering = true;
    listener.listen(0.6);
    ASSERT_EQ(listener.reasons.size(), 1U);
    EXPECT_NE(listener.reasons[0].find("overflow"), std::string::npos);
    EXPECT_NEAR(listener.off_frames, 0.0, kClockError);
    EXPECT_GT(listener.lost, 1600);
}

TEST(LiveSource, ASlowReaderLosesCountedFrames) {
    Listener listener(LiveConfig{.buffer_s = 0.6});
    listener.listen(0.3);
    std::this_thread::sleep_for(milliseconds(1500));
    listener.listen(0.5);
    EXPECT_GT(listener.lost, 4000);
    EXPECT_EQ(listener.off_frames, 0.0);  // counted, not estimated
    ASSERT_FALSE(listener.reasons.empty());
    EXPECT_NE(listener.reasons[0].find("too slow"), std::string::npos);
}

// As when a server is killed: the stream ends, the device is missing for a while.
TEST(LiveSource, ADeviceThatGoesAwayIsTakenUpAgain) {
    Listener listener;
    listener.listen(0.6);
    listener.wires->present = false;
    listener.wires->running = false;
    listener.listen(1.6);
    EXPECT_TRUE(listener.source->is_away());
    EXPECT_GT(listener.lost, 0) << "the loss is told while it lasts";
    const int inits = listener.wires->inits;
    EXPECT_GE(inits, 3);  // twice a second, with a new list each time
    listener.wires->present = true;
    listener.listen(1.5);
    EXPECT_FALSE(listener.source->is_away());
    EXPECT_EQ(listener.wires->opens, 2);
    EXPECT_NEAR(listener.off_frames, 0.0, kClockError);
    EXPECT_NE(listener.reasons.front().find("away"), std::string::npos);
    EXPECT_FALSE(listener.error);
}

// As when a server is frozen: the stream claims to be active, but no block comes.
TEST(LiveSource, AStalledDeviceIsTakenUpAgain) {
    Listener listener;
    listener.listen(0.5);
    listener.wires->delivering = false;
    listener.listen(1.5);
    EXPECT_GE(listener.wires->opens, 1);
    listener.wires->delivering = true;
    listener.listen(1.5);
    EXPECT_GE(listener.wires->opens, 2);
    EXPECT_NEAR(listener.off_frames, 0.0, kClockError);
    EXPECT_GT(listener.lost, 8000);
}

TEST(LiveSource, AwayTooLongIsGivenUp) {
    Listener listener(LiveConfig{.lost_after_s = 0.8});
    listener.listen(0.3);
    listener.wires->present = false;
    listener.wires->running = false;
    listener.listen(3.0);
    ASSERT_TRUE(listener.error);
    EXPECT_EQ(listener.error->code, ErrorCode::device_lost);
    EXPECT_NE(listener.error->message.find("card"), std::string::npos);
    std::vector<float> block(10);
    EXPECT_FALSE(listener.source->read(block).ok());
}

TEST(LiveSource, AHangingSoundSystemIsLeftBehind) {
    auto listener = std::make_unique<Listener>(LiveConfig{.hang_limit_s = 0.5});
    const auto wires = listener->wires;
    listener->listen(0.3);
    wires->hang_close = true;
    wires->running = false;
    listener->listen(3.0);
    ASSERT_TRUE(listener->error);
    EXPECT_EQ(listener->error->code, ErrorCode::device_lost);
    const auto start = steady_clock::now();
    listener.reset();
    EXPECT_LT(steady_clock::now() - start, milliseconds(3000));
    EXPECT_EQ(wires->alive, 1);  // still inside the call
    wires->hang_close = false;
    for (int i = 0; i < 400 && wires->alive != 0; ++i) std::this_thread::sleep_for(milliseconds(5));
    EXPECT_EQ(wires->alive, 0);  // and cleans up should it ever return
}

TEST(LiveSource, AHangAtTheStartIsAnError) {
    const auto wires = std::make_shared<Wires>();
    wires->hang_init = true;
    const auto made = open_live_with(std::make_unique<MadeUpDriver>(wires),
                                     LiveConfig{.device = "card", .hang_limit_s = 0.3});
    ASSERT_FALSE(made.ok());
    EXPECT_EQ(made.error().code, ErrorCode::device_lost);
    wires->hang_init = false;
    for (int i = 0; i < 400 && wires->alive != 0; ++i) std::this_thread::sleep_for(milliseconds(5));
    EXPECT_EQ(wires->alive, 0);
}

TEST(LiveSource, EndsItsThreadWithItself) {
    const auto wires = [] { return Listener().wires; }();
    for (int i = 0; i < 400 && wires->alive != 0; ++i) std::this_thread::sleep_for(milliseconds(5));
    EXPECT_EQ(wires->alive, 0);
}

TEST(LiveSource, SaysWhatIsWrongWithASetting) {
    const auto refused = [](const LiveConfig& config, const std::string& words) {
        const auto made =
            open_live_with(std::make_unique<MadeUpDriver>(std::make_shared<Wires>()), config);
        ASSERT_FALSE(made.ok());
        EXPECT_NE(made.error().message.find(words), std::string::npos) << made.error().message;
    };
    refused({.device = "nothing like it"}, "card");
    refused({.device = "card", .channel = 0}, "channel 0");
    refused({.device = "card", .channel = 2}, "channel 2");
    refused({.rate_hz = 1.0}, "8000 to 192000");
    refused({.rate_hz = 1e7}, "8000 to 192000");
    refused({.device = "card", .rate_hz = 48000.0}, "rate");
    refused({.buffer_s = 0.0}, "buffer_s");
    refused({.hang_limit_s = std::nan("")}, "hang_limit_s");
    refused({.lost_after_s = -1.0}, "lost_after_s");
}

}  // namespace
}  // namespace skedlark::audio
