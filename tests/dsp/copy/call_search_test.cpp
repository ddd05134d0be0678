#include "dsp/copy/call_search.h"

#include <gtest/gtest.h>

#include <limits>

#include "tests/dsp/copy/keyed_frames.h"
#include "tests/support/seed.h"

namespace skedlark::copy {
namespace {

std::vector<tone::BasebandFrame> sent(std::string_view text, double wpm, double snr_2500hz_db,
                                      std::mt19937_64& random) {
    test::Keying keying;
    keying.up(2.0);
    keying.send(text, wpm);
    keying.up(2.0);
    return keying.frames(snr_2500hz_db, random);
}

std::vector<CallFound> found_in(std::span<const tone::BasebandFrame> frames,
                                const std::vector<std::string>& calls, double speed_wpm = 0.0) {
    auto search = CallSearch::create({.calls = calls, .speed_wpm = speed_wpm});
    EXPECT_TRUE(search.ok());
    std::vector<CallFound> found;
    search->process(frames, found);
    return found;
}

TEST(CallSearch, FindsACallAtAnySpeedAndLevel) {
    std::mt19937_64 random(support::test_seed(41));
    for (const double wpm : {10.0, 18.0, 33.0}) {
        for (const double snr : {-9.0, 15.0}) {
            const auto frames = sent("QVA7 QVA7 QVA7", wpm, snr, random);
            const auto found = found_in(frames, {"qxb2", "qva7"});
            ASSERT_FALSE(found.empty()) << wpm << " wpm, " << snr << " dB";
            for (const CallFound& one : found) EXPECT_EQ(one.call, 1U);
            EXPECT_NEAR(found[0].speed_wpm / wpm, 1.0, 0.18);
            EXPECT_LE(found[0].at_frame, frames.back().at_frame);
        }
    }
}

TEST(CallSearch, AToldSpeedNarrowsIt) {
    std::mt19937_64 random(support::test_seed(42));
    const auto frames = sent("QVA7 QVA7 QVA7", 16.0, -9.0, random);
    EXPECT_FALSE(found_in(frames, {"QVA7"}, 18.0).empty());
    EXPECT_TRUE(found_in(frames, {"QVA7"}, 40.0).empty());
}

// Known to be sent: the same call but for one character.
TEST(CallSearch, ANearCallIsNotTakenForIt) {
    std::mt19937_64 random(support::test_seed(43));
    for (const char* near : {"QVA6", "QVU7", "QVA8"}) {
        const std::string text = std::string(near) + " " + near + " " + near;
        EXPECT_TRUE(found_in(sent(text, 18.0, -8.0, random), {"QVA7"}).empty()) << near;
    }
}

TEST(CallSearch, NothingFromSilenceOrBadNumbers) {
    auto search = CallSearch::create({.calls = {"QVA7"}});
    ASSERT_TRUE(search.ok());
    std::vector<CallFound> found;
    std::vector<tone::BasebandFrame> frames(2000);
    search->process(frames, found);
    for (tone::BasebandFrame& frame : frames) frame.lost = true;
    search->process(frames, found);
    for (tone::BasebandFrame& frame : frames) {
        frame.lost = false;
        frame.z = {std::numeric_limits<float>::quiet_NaN(), 1.0F};
    }
    search->process(frames, found);
    EXPECT_TRUE(found.empty());
    EXPECT_LT(search->log_odds(0), 0.0);
    // And it still works.
    std::mt19937_64 random(support::test_seed(44));
    search->process(sent("QVA7 QVA7 QVA7", 20.0, -6.0, random), found);
    EXPECT_FALSE(found.empty());
}

TEST(CallSearch, RefusesWhatIsNoCall) {
    const auto message_of = [](const std::vector<std::string>& calls) {
        const auto search = CallSearch::create({.calls = calls});
        return search.ok() ? std::string() : search.error().message;
    };
    EXPECT_EQ(message_of({"QV+A"}),
              "call: 'QV+A' holds '+', allowed letters A to Z, figures and /");
    EXPECT_EQ(message_of({"Q"}), "call: 'Q' has 1 characters, allowed 2 to 15");
    EXPECT_EQ(message_of({}), "call: 0 given, allowed 1 to 8");
    EXPECT_EQ(message_of(std::vector<std::string>(9, "QVA")), "call: 9 given, allowed 1 to 8");
    EXPECT_EQ(message_of({"QVA/7"}), "");
}

}  // namespace
}  // namespace skedlark::copy
