#include "dsp/audio/source.h"

#include <gtest/gtest.h>

#include <limits>

#include "tests/dsp/audio/support.h"

namespace skedlark::audio {
namespace {

TEST(Source, BadValuesAreSilencedAndCounted) {
    std::vector<float> audio(100, 0.5F);
    audio[0] = std::numeric_limits<float>::quiet_NaN();
    audio[50] = std::numeric_limits<float>::infinity();
    audio[99] = -2.0e6F;
    audio[98] = -0.9e6F;
    test::ScriptedSource source(8000.0, {{audio}});
    const auto heard = read_all(source, 7);
    EXPECT_EQ(source.bad_samples(), 3);
    EXPECT_EQ(heard.audio[0], 0.0F);
    EXPECT_EQ(heard.audio[1], 0.5F);
    EXPECT_EQ(heard.audio[98], -0.9e6F);
    EXPECT_EQ(heard.audio[99], 0.0F);
}

TEST(Source, StopIsRemembered) {
    test::ScriptedSource source(8000.0, {});
    EXPECT_FALSE(source.stop_requested());
    source.request_stop();
    EXPECT_TRUE(source.stop_requested());
}

}  // namespace
}  // namespace skedlark::audio
