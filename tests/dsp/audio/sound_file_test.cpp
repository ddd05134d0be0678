#include "dsp/audio/sound_file.h"

#include <gtest/gtest.h>

namespace skedlark::audio {
namespace {

TEST(SoundFile, FormatIsCheckedAgainstWhatIsAllowed) {
    EXPECT_TRUE(check_format("a.wav", 8000.0, 1, {}).ok());
    EXPECT_TRUE(check_format("a.wav", 192000.0, 32, {.channel = 32}).ok());
    EXPECT_TRUE(check_format("a.wav", 48000.0, 1, {.channel = 5, .mix = true}).ok());
    const auto refused = [](double rate_hz, int channels, const FileOptions& options,
                            ErrorCode code, const std::string& words) {
        const Status status = check_format("a.wav", rate_hz, channels, options);
        ASSERT_FALSE(status.ok());
        EXPECT_EQ(status.error().code, code);
        EXPECT_NE(status.error().message.find("a.wav"), std::string::npos);
        EXPECT_NE(status.error().message.find(words), std::string::npos);
    };
    refused(1.0, 1, {}, ErrorCode::unsupported, "1 Hz is outside 8000 to 192000");
    refused(1e7, 1, {}, ErrorCode::unsupported, "10000000 Hz is outside 8000 to 192000");
    refused(48000.0, 0, {}, ErrorCode::damaged, "no channels");
    refused(48000.0, 2, {.channel = 3}, ErrorCode::invalid_value, "1 to 2");
}

}  // namespace
}  // namespace skedlark::audio
