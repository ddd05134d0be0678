#include "dsp/synth/key_station.h"

#include <gtest/gtest.h>

namespace skedlark::synth {
namespace {

TEST(KeyStation, TextsFollowOneAnother) {
    StationConfig config;
    config.transmissions = {{1.0, "E"}, {2.0, "T"}};
    const auto truth = key_station(config, 100.0, 1);
    ASSERT_TRUE(truth.ok());
    ASSERT_EQ(truth->marks.size(), 2U);
    // Standard lengths at 20 words a minute: ITU-R M.1677-1, dot 60 ms, dash three dots.
    EXPECT_NEAR(truth->marks[0].on_s, 1.0, 1e-9);
    EXPECT_NEAR(truth->marks[0].off_s - truth->marks[0].on_s, 0.06, 1e-9);
    EXPECT_NEAR(truth->marks[1].on_s, 2.0, 1e-9);
    EXPECT_NEAR(truth->marks[1].off_s - truth->marks[1].on_s, 0.18, 1e-9);
}

TEST(KeyStation, WhoKeepsSendingEndsInTime) {
    StationConfig config;
    config.keep_sending = true;
    const auto truth = key_station(config, 30.0, 7);
    ASSERT_TRUE(truth.ok());
    ASSERT_FALSE(truth->marks.empty());
    EXPECT_LE(truth->marks.back().off_s, 30.0);
    EXPECT_GT(truth->marks.back().off_s, 20.0);
    EXPECT_EQ(key_station(config, 30.0, 7)->text, truth->text);
    EXPECT_NE(key_station(config, 30.0, 8)->text, truth->text);
}

TEST(KeyStation, CharactersOutsideTheCodeAreErrors) {
    StationConfig config;
    config.transmissions = {{1.0, "A#B"}};
    EXPECT_FALSE(key_station(config, 10.0, 1).ok());
}

}  // namespace
}  // namespace skedlark::synth
