// Numbers, words and channels as they are typed.
#include "cli/options.h"

#include <gtest/gtest.h>

namespace skedlark::cli {
namespace {

std::string refused(const CLI::Validator& validator, std::string text) { return validator(text); }

TEST(Options, NumbersWithinTheirRange) {
    const CLI::Validator pitch = number_within({200.0, 3000.0, "Hz"});
    for (const char* good : {"200", "3000", "700.5", "7e2", "+700"}) {
        EXPECT_EQ(refused(pitch, good), "") << good;
    }
    for (const char* bad :
         {"", "199.9", "3001", "-700", "nan", "inf", "700Hz", " 700", "0x300", "7,5"}) {
        const std::string message = refused(pitch, bad);
        EXPECT_NE(message.find("200 to 3000 Hz"), std::string::npos) << bad;
        EXPECT_NE(message.find(bad), std::string::npos) << message;
    }
}

TEST(Options, WholeNumbers) {
    const CLI::Validator tones = number_within({1.0, 8.0, ""}, true);
    EXPECT_EQ(refused(tones, "8"), "");
    EXPECT_NE(refused(tones, "1.5"), "");
    std::string text = "2.0";
    EXPECT_EQ(tones(text), "");
    EXPECT_EQ(text, "2");
}

TEST(Options, Words) {
    EXPECT_EQ(refused(one_of({"flac", "wav"}), "wav"), "");
    EXPECT_EQ(refused(one_of({"flac", "wav"}), "mp3"), "'mp3' is not known; allowed: flac, wav");
}

TEST(Options, Channels) {
    EXPECT_EQ(parse_channel("1")->channel, 1);
    EXPECT_FALSE(parse_channel("32")->mix);
    EXPECT_TRUE(parse_channel("mix")->mix);
    for (const char* bad : {"", "0", "-1", "1.5", "left", "2 ", "99999999999"}) {
        EXPECT_FALSE(parse_channel(bad)) << bad;
    }
}

TEST(Options, ExactlyOneKindOfInput) {
    EXPECT_FALSE(check_input_options({}));
    InputOptions file;
    file.files = {"a.wav"};
    EXPECT_TRUE(check_input_options(file).ok());
    file.live = true;
    EXPECT_FALSE(check_input_options(file));
    InputOptions live;
    live.live = true;
    EXPECT_TRUE(check_input_options(live).ok());
    live.raw_rate_hz = 8000.0;
    EXPECT_FALSE(check_input_options(live));
    InputOptions twice;
    twice.files = {"-", "-"};
    EXPECT_FALSE(check_input_options(twice));
}

}  // namespace
}  // namespace skedlark::cli
