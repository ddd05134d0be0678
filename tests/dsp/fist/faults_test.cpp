#include "dsp/fist/faults.h"

#include <algorithm>

#include "tests/dsp/fist/keyed.h"
#include "tests/dsp/fist/scenes.h"
#include "tests/support/seed.h"

namespace skedlark::fist {
namespace {

std::vector<std::string> named(const synth::SceneConfig& config, const std::string& text = "") {
    const auto scene = made(config);
    const FineBaseband tone = brought_down(scene);
    const Keying keying = measure_edges(tone, find_marks(tone));
    const auto hand = find_hand(keying);
    EXPECT_TRUE(hand);
    Sending sending = read_sending(keying, probable_kinds(keying, *hand));
    std::optional<Alignment> alignment;
    if (!text.empty()) {
        alignment = aligned(keying, text);
        sending = alignment->sending;
    }
    const Statistics statistics = statistics_of(keying, sending);
    std::vector<std::string> out;
    for (const Fault& fault :
         find_faults({keying, sending, statistics, &tone, alignment ? &*alignment : nullptr})) {
        EXPECT_FALSE(fault.said.empty());
        EXPECT_FALSE(fault.advice.empty());
        EXPECT_GE(fault.at_s, 0.9);
        out.emplace_back(name_of(fault.kind));
    }
    return out;
}

TEST(Faults, CleanHandsHaveNone) {
    const std::uint64_t seed = support::test_seed(1080);
    for (const char* hand : {"machine", "steady", "semi-automatic", "swinging"}) {
        EXPECT_EQ(named(scene_config(groups(20, seed), hand, 12.0, seed)),
                  std::vector<std::string>{})
            << hand;
    }
}

// A lag of 0.7 dots, a third of it more or less from mark to mark, swallows about one dot in ten.
TEST(Faults, TheTransmitterClipsDots) {
    const std::uint64_t seed = support::test_seed(1081);
    for (const char* hand : {"machine", "ordinary", "poor"}) {
        auto config = scene_config(groups(25, seed), hand, 12.0, seed, 18.0);
        config.wanted.transmitter.lag_s = 0.7 * 1.2 / 18.0;
        const auto found = named(config);
        EXPECT_EQ(std::count(found.begin(), found.end(), "dots_clipped"), 1) << hand;
        EXPECT_EQ(std::count(found.begin(), found.end(), "dash_short"), 0) << hand;
        const auto with_text = named(config, config.wanted.transmissions[0].text);
        EXPECT_EQ(std::count(with_text.begin(), with_text.end(), "dots_clipped"), 1) << hand;
    }
}

// Light dots of an even hand are no transmitter's fault.
TEST(Faults, LightDotsAreNoLag) {
    auto config = scene_config(groups(25, 5), "steady", 12.0, 5);
    config.wanted.fist.dot.mean_dots = 0.6;
    config.wanted.fist.element_gap.mean_dots = 1.4;
    const auto found = named(config);
    EXPECT_EQ(std::count(found.begin(), found.end(), "dots_clipped"), 0);
}

TEST(Faults, EachOfTheHandIsNamed) {
    auto dash = scene_config(groups(20, 6), "steady", 12.0, 6);
    dash.wanted.fist.dash.mean_dots = 2.1;
    EXPECT_EQ(named(dash), std::vector<std::string>{"dash_short"});
    auto closed = scene_config(groups(20, 7), "steady", 12.0, 7);
    closed.wanted.fist.character_gap.mean_dots = 2.0;
    EXPECT_EQ(named(closed), std::vector<std::string>{"gaps_closed"});
    auto stretched = scene_config(groups(20, 8), "steady", 12.0, 8);
    stretched.wanted.fist.character_gap.mean_dots = 5.5;
    stretched.wanted.fist.word_gap.mean_dots = 13.0;
    EXPECT_EQ(named(stretched), std::vector<std::string>{"gaps_stretched"});
}

TEST(Faults, EachOfTheTransmitterIsNamed) {
    auto cold = scene_config(groups(20, 9), "steady", 12.0, 9);
    cold.wanted.transmitter.cold_lag_s = 0.035;
    cold.wanted.transmitter.cold_after_s = 0.3;
    EXPECT_EQ(named(cold), std::vector<std::string>{"first_late"});
    auto chirp = scene_config(groups(20, 10), "steady", 12.0, 10);
    chirp.wanted.note.chirp_hz = 30.0;
    EXPECT_EQ(named(chirp), std::vector<std::string>{"chirp"});
    auto hum = scene_config(groups(20, 11), "steady", 12.0, 11);
    hum.wanted.note.hum_depth = 0.2;
    EXPECT_EQ(named(hum), std::vector<std::string>{"hum"});
}

TEST(Faults, NothingSent) {
    EXPECT_TRUE(find_faults({Keying{}, Sending{}, Statistics{}}).empty());
    EXPECT_TRUE(is_of_hand(FaultKind::gaps_closed));
    EXPECT_FALSE(is_of_hand(FaultKind::dots_clipped));
}

}  // namespace
}  // namespace skedlark::fist
