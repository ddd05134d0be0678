#include "dsp/dial/receiver.h"

#include <gtest/gtest.h>

#include <cmath>
#include <functional>
#include <limits>

#include "tests/dsp/dial/mountain_set.h"

namespace skedlark::dial {
namespace {

using test::mountain_set;

// What check() says of the set with one thing changed.
std::string said(const std::function<void(Receiver&)>& change) {
    Receiver set = mountain_set();
    change(set);
    const Status status = check(set);
    return status ? "accepted" : status.error().message;
}

void expect_names(const std::string& message, const std::vector<std::string>& named) {
    for (const std::string& word : named) {
        EXPECT_NE(message.find(word), std::string::npos) << "'" << word << "' in: " << message;
    }
}

TEST(Receiver, TheMountainSetIsRight) {
    const Status status = check(mountain_set());
    EXPECT_TRUE(status.ok()) << (status ? "" : status.error().message);
    EXPECT_EQ(bands_in_words(mountain_set()),
              "1 (2.4 to 4 MHz), 2 (3.8 to 6.4 MHz), 3 (6 to 10.5 MHz)");
}

TEST(Receiver, ChartPointsThatCannotBe) {
    expect_names(said([](Receiver& r) { r.bands[1].points[3].mhz = 4.3; }),
                 {"band \"2\", point 4", "4.3 MHz", "falls back"});
    expect_names(said([](Receiver& r) { r.bands[2].points[3].mhz = 8.7; }),
                 {"band \"3\", point 4", "8.7 MHz", "rises back"});
    expect_names(said([](Receiver& r) { r.bands[1].points[3].mhz = 4.35; }),
                 {"band \"2\", point 4", "4.35 MHz repeats"});
    expect_names(said([](Receiver& r) { r.bands[1].points[3].div = 30; }),
                 {"point 4", "division 30 does not rise above 30"});
    expect_names(said([](Receiver& r) { r.bands[1].points[3].div = 2; }),
                 {"point 4", "division 2"});
    expect_names(said([](Receiver& r) { r.bands[1].points[6].mhz = 6.41; }),
                 {"point 7", "6.41 MHz lies outside the band", "3.8 to 6.4 MHz"});
    expect_names(said([](Receiver& r) { r.bands[1].points[6].div = 101; }),
                 {"point 7", "division 101 lies outside the dial", "0 to 100"});
    expect_names(said([](Receiver& r) { r.bands[0].points.resize(2); }),
                 {"band \"1\", points", "2 points", "3 to 1000"});
    expect_names(said([](Receiver& r) {
                     r.bands[1].points[2] = {std::numeric_limits<double>::quiet_NaN(), 4.35, 17};
                 }),
                 {"point 3 (line 17)", "division nan"});
    expect_names(said([](Receiver& r) { r.bands[1].points[2].mhz = -4.35; }), {"-4.35 MHz"});
}

TEST(Receiver, SettingsThatCannotBe) {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    expect_names(said([](Receiver& r) { r.name = ""; }), {"receiver name"});
    expect_names(said([](Receiver& r) { r.name = "a\nb"; }), {"receiver name", "one line"});
    expect_names(said([](Receiver& r) { r.to_div = 0; }), {"dial.to_div", "0 is not above"});
    expect_names(said([&](Receiver& r) { r.from_div = nan; }), {"dial.from_div", "nan"});
    expect_names(said([](Receiver& r) { r.reading_sd_div = 0; }),
                 {"dial.reading_sd_div", "0.001 to 10"});
    expect_names(said([](Receiver& r) { r.audio.low_hz = -5; }), {"audio.low_hz", "-5", "20 to"});
    expect_names(said([](Receiver& r) { r.audio.high_hz = 250; }), {"audio.high_hz", "250"});
    expect_names(said([](Receiver& r) { r.audio.pitch_hz = 4000; }),
                 {"audio.pitch_hz", "4000", "300 to 3000"});
    expect_names(said([&](Receiver& r) { r.beat.zero_beat_offset_hz = nan; }), {"beat.offset_hz"});
    expect_names(said([](Receiver& r) { r.bands.clear(); }), {"band", "0", "1 to 50"});
    expect_names(said([](Receiver& r) { r.bands[2].name = "1"; }), {"band \"1\"", "twice"});
    expect_names(said([](Receiver& r) { r.bands[0].to_mhz = 2.0; }), {"to_mhz", "2 is not above"});
    expect_names(said([](Receiver& r) { r.bands[0].chart_sd_div = -0.1; }),
                 {"chart_sd_div", "-0.1", "0 to 100"});
}

}  // namespace
}  // namespace skedlark::dial
