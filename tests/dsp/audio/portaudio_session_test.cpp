// The sound system's library, held by several at once; runs inside `virtual-audio.sh run -- audio_live_test`.
#include "dsp/audio/portaudio_session.h"

#include <gtest/gtest.h>

#include <thread>
#include <vector>

#include "dsp/audio/devices.h"

namespace skedlark::audio {
namespace {

TEST(PortAudioSession, IsOpenedTwiceAndClosedTwice) {
    PortAudioSession first;
    PortAudioSession second;
    ASSERT_TRUE(first.begin().ok());
    ASSERT_TRUE(second.begin().ok());
    first.end();
    EXPECT_FALSE(first.is_open());
    EXPECT_TRUE(second.is_open());
    EXPECT_TRUE(list_devices().ok());  // beside one that is open
    second.end();
    second.end();  // again: nothing
    EXPECT_TRUE(list_devices().ok());
}

TEST(PortAudioSession, OneCallAtATimeFromAnyThread) {
    std::vector<std::thread> threads;
    int inside = 0;
    int most = 0;
    for (int i = 0; i < 4; ++i) {
        threads.emplace_back([&] {
            for (int n = 0; n < 100; ++n) {
                const auto held = PortAudioSession::lock();
                ASSERT_TRUE(held.ok());
                most = std::max(most, ++inside);
                --inside;
            }
        });
    }
    for (std::thread& thread : threads) thread.join();
    EXPECT_EQ(most, 1);
}

}  // namespace
}  // namespace skedlark::audio
