#include "dsp/dial/receiver_file.h"

#include <gtest/gtest.h>

#include <random>

#include "tests/dsp/dial/mountain_set.h"
#include "tests/support/seed.h"

namespace skedlark::dial {
namespace {

constexpr const char* kFile = R"(format = "skedlark-receiver"
version = 1
name = "Saddle hut set"

[dial]
to_div = 180
reading_sd_div = 0.25

[beat]
chart_reads = "centre"
offset_hz = -900
listen = "below"

[audio]
pitch_hz = 650

[[band]]
name = "2"
from_mhz = 3.0
to_mhz = 6.2
points = [
    [10, 3.1],
    [60, 4.0],
    [120, 5.25],
    [170, 6.1],
]
)";

std::string with(const std::string& old, const std::string& now) {
    std::string text = kFile;
    const std::size_t at = text.find(old);
    EXPECT_NE(at, std::string::npos) << old;
    return text.replace(at, old.size(), now);
}

void expect_refused(const std::string& text, const std::vector<std::string>& named) {
    const auto receiver = parse_receiver(text, "set.toml");
    ASSERT_FALSE(receiver.ok()) << text;
    for (const std::string& word : named) {
        EXPECT_NE(receiver.error().message.find(word), std::string::npos)
            << "'" << word << "' in: " << receiver.error().message;
    }
}

TEST(ReceiverFile, EachFieldArrives) {
    const auto receiver = parse_receiver(kFile, "set.toml");
    ASSERT_TRUE(receiver.ok()) << receiver.error().message;
    EXPECT_EQ(receiver->name, "Saddle hut set");
    EXPECT_EQ(receiver->from_div, 0.0);
    EXPECT_EQ(receiver->to_div, 180.0);
    EXPECT_EQ(receiver->reading_sd_div, 0.25);
    EXPECT_EQ(receiver->beat.zero_beat_offset_hz, -900.0);
    EXPECT_EQ(receiver->beat.listen, ListenSide::below);
    EXPECT_EQ(receiver->audio.pitch_hz, 650.0);
    EXPECT_EQ(receiver->audio.low_hz, 300.0);
    ASSERT_EQ(receiver->bands.size(), 1U);
    const Band& band = receiver->bands[0];
    EXPECT_EQ(band.name, "2");
    EXPECT_FALSE(band.chart_sd_div.has_value());
    ASSERT_EQ(band.points.size(), 4U);
    EXPECT_EQ(band.points[2].div, 120.0);
    EXPECT_EQ(band.points[2].mhz, 5.25);
    EXPECT_EQ(band.points[2].line, 24);
}

TEST(ReceiverFile, WhatIsWrittenReadsBackTheSame) {
    Receiver set = test::mountain_set();
    set.name = "Set \"A\" \\ hütte";
    set.beat = {.zero_beat_offset_hz = 812.5, .listen = ListenSide::below};
    set.bands[0].points[1].mhz = 2.6000000000000001e0 + 1e-9;
    const auto back = parse_receiver(receiver_toml(set), "back");
    ASSERT_TRUE(back.ok()) << back.error().message;
    EXPECT_EQ(receiver_toml(*back), receiver_toml(set));
    EXPECT_EQ(back->bands[0].points[1].mhz, set.bands[0].points[1].mhz);
    EXPECT_EQ(back->name, set.name);
}

TEST(ReceiverFile, ErrorsNameFileLineFieldAndWhatIsAllowed) {
    expect_refused("", {"set.toml:", "format: is missing"});
    expect_refused("name = ", {"set.toml:1"});
    expect_refused(with("skedlark-receiver", "shopping"), {"set.toml:1", "'shopping'"});
    expect_refused(with("version = 1", "version = 2"), {"set.toml:2", "version: 2", "allowed: 1"});
    expect_refused(with("name = \"Saddle hut set\"", "name = 7"),
                   {"set.toml:3", "name: 7; allowed: text"});
    expect_refused(with("to_div = 180", "to_div = \"wide\""), {"set.toml:6", "dial: to_div"});
    expect_refused(with("to_div = 180", "to_dib = 180"),
                   {"set.toml:6", "dial: to_dib", "from_div, reading_sd_div, to_div"});
    expect_refused(with("[dial]", "dial = 4\n[dail]"), {"set.toml:5", "dial: 4; allowed: a table"});
    expect_refused(with("\"centre\"", "\"middle\""),
                   {"set.toml:10", "'middle'", "zero_beat, centre"});
    expect_refused(with("\"centre\"", "\"zero_beat\""), {"set.toml:11", "beat: offset_hz"});
    expect_refused(with("offset_hz = -900\n", ""), {"beat: offset_hz: is missing"});
    expect_refused(with("\"below\"", "\"left\""), {"set.toml:12", "'left'", "above, below"});
    expect_refused(with("[60, 4.0]", "[60]"), {"set.toml:23", "point 2", "[division, MHz]"});
    expect_refused(with("[60, 4.0]", "[60, \"x\"]"), {"set.toml:23", "point 2"});
    expect_refused(with("[60, 4.0]", "60"), {"set.toml:23", "point 2"});
    expect_refused(with("[60, 4.0]", "[60, nan]"), {"point 2", "line 23", "nan MHz"});
    expect_refused(with("[60, 4.0]", "[60, 3.0]"), {"point 2 (line 23)", "3 MHz", "falls back"});
    expect_refused(with("from_mhz = 3.0\n", ""), {"from_mhz: is missing"});
    expect_refused(with("[[band]]", "[band]"), {"band: allowed: tables"});
    expect_refused(with("[[band]]", "band = [3]\n[x]"), {"band"});
    expect_refused("format = \"skedlark-receiver\"\nversion = 1\nname = \"x\"\nband = [3]\n",
                   {"set.toml:4", "[[band]]"});
    EXPECT_EQ(parse_receiver("name = ", "set.toml").error().code, ErrorCode::damaged);
}

TEST(ReceiverFile, ItemsMissingAltogether) {
    const auto missing = read_receiver("/nonexistent/set.toml");
    ASSERT_FALSE(missing.ok());
    EXPECT_EQ(missing.error().code, ErrorCode::not_found);
    EXPECT_NE(missing.error().message.find("/nonexistent/set.toml"), std::string::npos);
    EXPECT_EQ(read_receiver("/tmp").error().code, ErrorCode::unreadable);
}

TEST(ReceiverFile, NoBytesCrashIt) {
    const std::uint64_t seed = support::test_seed(5);
    std::mt19937_64 random(seed);
    std::uniform_int_distribution<std::size_t> place(0, std::string(kFile).size() - 1);
    std::uniform_int_distribution<int> byte(0, 255);
    int accepted = 0;
    for (int n = 0; n < 3000; ++n) {
        std::string text = kFile;
        for (int k = 0; k <= n % 4; ++k) text[place(random)] = static_cast<char>(byte(random));
        const auto receiver = parse_receiver(text, "set.toml");
        accepted += receiver ? 1 : 0;
        EXPECT_TRUE(receiver || receiver.error().message.rfind("set.toml", 0) == 0);
    }
    EXPECT_GT(accepted, 0);  // some bytes may change: names, blanks
    EXPECT_FALSE(parse_receiver(std::string(200000, '['), "deep").ok());
    EXPECT_FALSE(parse_receiver("a = " + std::string(200000, '['), "deep").ok());
}

}  // namespace
}  // namespace skedlark::dial
