#include "tests/accuracy/speech.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <span>

namespace skedlark::accuracy {
namespace {

double rms(std::span<const float> audio) {
    double sum = 0.0;
    for (const float x : audio) sum += double{x} * double{x};
    return std::sqrt(sum / static_cast<double>(audio.size()));
}

// Speech has pauses: its loudest tenth of a second is far above the quietest, unlike a tone or
// noise.
TEST(Speech, IsLongEnoughAndSoundsLikeSpeech) {
    const auto audio = speech(20.0, 4);
    ASSERT_TRUE(audio.ok()) << audio.error().message;
    ASSERT_GE(audio->size(), static_cast<std::size_t>(20.0 * kWorkRateHz));
    constexpr std::size_t kPiece = 800;
    double loudest = 0.0;
    double quietest = 1.0;
    for (std::size_t at = 0; at + kPiece <= audio->size(); at += kPiece) {
        const double level = rms(std::span(*audio).subspan(at, kPiece));
        loudest = std::max(loudest, level);
        quietest = std::min(quietest, level);
    }
    EXPECT_GT(loudest, 0.03);
    EXPECT_LT(quietest, loudest / 30.0);
}

TEST(Speech, SeedsSayOtherThings) {
    const auto a = speech(2.0, 1);
    const auto b = speech(2.0, 2);
    const auto again = speech(2.0, 1);
    ASSERT_TRUE(a.ok() && b.ok() && again.ok());
    EXPECT_NE(*a, *b);
    EXPECT_EQ(*a, *again);
}

}  // namespace
}  // namespace skedlark::accuracy
