#include "gui/listen/audio_hub.h"

#include <gtest/gtest.h>

#include <atomic>
#include <chrono>
#include <thread>

#include "tests/dsp/audio/sound_files.h"

namespace skedlark::gui {
namespace {

using Clock = std::chrono::steady_clock;

// Counts what it is given.
class Listener final : public AudioUser {
 public:
    void begin(const HeardInput& input) override {
        name = input.name;
        ++begun;
    }
    void take(const watch::Block& block, FrameIndex first_frame) override {
        in_order = in_order && (frames == 0 || first_frame == next);
        if (frames == 0) first = first_frame;
        next = first_frame + static_cast<FrameIndex>(block.audio.size());
        frames += static_cast<FrameIndex>(block.audio.size());
        for (const float sample : block.audio) sum += static_cast<double>(sample);
    }
    void end() override { ++ended; }

    std::string name;
    std::atomic<int> begun = 0;
    std::atomic<int> ended = 0;
    std::atomic<FrameIndex> frames = 0;
    FrameIndex first = 0;
    FrameIndex next = 0;
    double sum = 0.0;
    bool in_order = true;
};

// A file of 8 kHz, whose samples are all one value.
std::string wav(const std::string& path, double seconds) {
    audio::test::write_sound(path, SF_FORMAT_WAV | SF_FORMAT_FLOAT, 8000,
                             std::vector<float>(static_cast<std::size_t>(seconds * 8000.0), 0.25F));
    return path;
}

bool wait_for(const AudioHub& hub, HubPhase phase, double seconds = 20.0) {
    const auto until = Clock::now() + std::chrono::duration<double>(seconds);
    while (hub.state().phase != phase && Clock::now() < until) {
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
    }
    return hub.state().phase == phase;
}

InputChoice file_at(const std::string& path, double pace) {
    InputChoice choice;
    choice.live = false;
    choice.file = path;
    choice.pace = pace;
    return choice;
}

class Hub : public testing::Test {
 protected:
    audio::test::TempFolder folder_;
    AudioHub hub_;
    std::shared_ptr<Listener> listener_ = std::make_shared<Listener>();
};

TEST_F(Hub, GivesTheWholeFileInOrderAndSaysWhenItEnds) {
    const std::string path = wav(folder_.file("a.wav"), 60.0);
    hub_.join(listener_);
    hub_.open(file_at(path, 0.0));
    ASSERT_TRUE(wait_for(hub_, HubPhase::ended));
    EXPECT_EQ(listener_->name, path);
    EXPECT_EQ(listener_->frames, 60 * 8000);
    EXPECT_TRUE(listener_->in_order);
    EXPECT_DOUBLE_EQ(listener_->sum, 60 * 8000 * 0.25);
    EXPECT_EQ(listener_->begun, 1);
    EXPECT_EQ(listener_->ended, 1);
    EXPECT_DOUBLE_EQ(hub_.state().at_s, 60.0);
    EXPECT_EQ(hub_.state().input.seconds, 60.0);
    EXPECT_EQ(hub_.state().level.verdict, audio::LevelVerdict::good);
}

TEST_F(Hub, AFileComesAtItsPaceAndThePaceCanChange) {
    hub_.join(listener_);
    const auto start = Clock::now();
    hub_.open(file_at(wav(folder_.file("a.wav"), 30.0), 4.0));
    std::this_thread::sleep_for(std::chrono::seconds(1));
    const double at_s = hub_.state().at_s;
    EXPECT_GT(at_s, 2.0);
    EXPECT_LT(at_s, 4.0 * std::chrono::duration<double>(Clock::now() - start).count() + 0.2);
    hub_.set_pace(0.0);
    ASSERT_TRUE(wait_for(hub_, HubPhase::ended, 5.0));
    EXPECT_EQ(listener_->frames, 30 * 8000);
}

TEST_F(Hub, StopsAtOnceAndTheNextInputBeginsAnew) {
    hub_.join(listener_);
    hub_.open(file_at(wav(folder_.file("a.wav"), 30.0), 1.0));
    ASSERT_TRUE(wait_for(hub_, HubPhase::listening));
    const auto start = Clock::now();
    hub_.stop();
    EXPECT_LT(Clock::now() - start, std::chrono::seconds(1));
    EXPECT_EQ(hub_.state().phase, HubPhase::ended);
    hub_.open(file_at(wav(folder_.file("b.wav"), 1.0), 0.0));
    ASSERT_TRUE(wait_for(hub_, HubPhase::ended));
    EXPECT_EQ(hub_.state().at_s, 1.0);
    EXPECT_EQ(listener_->begun, listener_->ended);
}

TEST_F(Hub, OneThatJoinsLateIsToldWhereItIsAndOneThatLeftHearsNothing) {
    auto gone = std::make_shared<Listener>();
    hub_.join(gone);
    hub_.open(file_at(wav(folder_.file("a.wav"), 60.0), 4.0));
    ASSERT_TRUE(wait_for(hub_, HubPhase::listening));
    std::this_thread::sleep_for(std::chrono::milliseconds(400));
    hub_.leave(gone);
    const FrameIndex heard = gone->frames;
    hub_.join(listener_);
    std::this_thread::sleep_for(std::chrono::milliseconds(400));
    hub_.stop();
    EXPECT_EQ(gone->frames, heard);
    EXPECT_GT(listener_->first, 0);
    EXPECT_GE(listener_->first, gone->next);
    EXPECT_TRUE(listener_->in_order);
    EXPECT_EQ(listener_->begun, 1);
}

TEST_F(Hub, AFileThatIsNoneIsToldWithItsName) {
    hub_.open(file_at(folder_.file("none.wav"), 1.0));
    ASSERT_TRUE(wait_for(hub_, HubPhase::failed));
    EXPECT_NE(hub_.state().failure.find("none.wav"), std::string::npos);
    hub_.open(file_at(wav(folder_.file("a.wav"), 1.0), 0.0));  // and another can be opened
    EXPECT_TRUE(wait_for(hub_, HubPhase::ended));
    EXPECT_TRUE(hub_.state().failure.empty());
}

}  // namespace
}  // namespace skedlark::gui
