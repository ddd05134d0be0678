// The card of a plan worked out by hand.
#include "dsp/station/card.h"

#include "tests/dsp/station/plans.h"

namespace skedlark::station {
namespace {

Plan plan() {
    return plan_of(std::string(kKit) +
                   "[[battery]]\nname = \"b\"\nreceive_h = 10\ncharge_ratio = 2\n" +
                   contact("evening", "2026-11-20T18:30:00Z", 20,
                           "repeat = \"daily\"\ngive_up_min = 12\nanswer_crystal = \"K1\"\n"
                           "[[contact.fallback]]\nafter_min = 30\nduration_min = 15\n"
                           "receive_khz = 5195\nanswer_crystal = \"K2\"\n"));
}

CardConfig at_time(const char* now) {
    CardConfig config;
    config.machine_now = at(now);
    return config;
}

ContactCard card(const CardConfig& config) {
    const auto cards = make_cards(plan(), config);
    EXPECT_TRUE(cards);
    EXPECT_EQ(cards->size(), 1U);
    return cards->front();
}

TEST(Card, TellsWhatIsDue) {
    const ContactCard c = card(at_time("2026-11-26T17:00Z"));
    EXPECT_EQ(c.contact, "evening");
    EXPECT_EQ(c.with.call, "QXB2");
    EXPECT_EQ(c.own_call, "QVA7");
    EXPECT_DOUBLE_EQ(c.to_start_s, 5400.0);
    EXPECT_EQ(c.switch_on, at("2026-11-26T18:00Z"));
    EXPECT_DOUBLE_EQ(c.to_switch_on_s, 3600.0);
    EXPECT_EQ(c.give_up, at("2026-11-26T18:42Z"));
    EXPECT_EQ(c.leg.answer.crystal->name, "K1");
    EXPECT_EQ(c.leg.answer.band->position, "1");
    ASSERT_EQ(c.fallbacks.size(), 1U);
    EXPECT_EQ(c.fallbacks[0].start, at("2026-11-26T19:00Z"));
    EXPECT_DOUBLE_EQ(c.fallbacks[0].answer.khz, 5200.0);
    EXPECT_EQ(c.next_fallback, 0U);
    EXPECT_EQ(c.next_contact, at("2026-11-27T18:30Z"));
    ASSERT_TRUE(c.battery);
    // 50 minutes on, a quarter of the contact sending, which here draws the same.
    EXPECT_NEAR(c.battery->contact.after, 1.0 - 50.0 / 600.0, 1e-9);
    EXPECT_FALSE(c.leg.dial) << "no receiver file";
    EXPECT_TRUE(c.notes.empty());
}

TEST(Card, StagesOfAContact) {
    const auto stage = [](const char* now) {
        return std::string(name_of(card(at_time(now)).stage));
    };
    EXPECT_EQ(stage("2026-11-26T17:59:59Z"), "waiting");
    EXPECT_EQ(stage("2026-11-26T18:00Z"), "warming_up");
    EXPECT_EQ(stage("2026-11-26T18:30Z"), "running");
    EXPECT_EQ(stage("2026-11-26T18:42Z"), "given_up");
    EXPECT_EQ(stage("2026-11-26T19:00Z"), "in_fallback");
    EXPECT_EQ(stage("2026-11-26T19:15Z"), "waiting") << "the next evening";
}

TEST(Card, TheClocksOffsetAndDoubtAreReckonedWith) {
    CardConfig config = at_time("2026-11-26T17:00:10Z");
    config.clock = {10.0, 90.0, "typed in"};
    const ContactCard c = card(config);
    EXPECT_EQ(c.now, at("2026-11-26T17:00Z"));
    EXPECT_DOUBLE_EQ(c.to_start_s, 5400.0);
    EXPECT_EQ(c.switch_on, at("2026-11-26T17:58:30Z")) << "earlier by the doubt";
    EXPECT_EQ(c.give_up, at("2026-11-26T18:43:30Z")) << "later by the doubt";
}

TEST(Card, TheReceiverTellsDivisionAndSweepTime) {
    CardConfig config = at_time("2026-11-26T17:00Z");
    config.dial = [](double khz) {
        DialSetting setting;
        if (khz > 5000.0) {
            setting.problem = "5195 kHz is in no band of the receiver";
            return setting;
        }
        return DialSetting{"B", 61.2, 59.2, 63.2, 14.0, ""};
    };
    const ContactCard c = card(config);
    ASSERT_TRUE(c.leg.dial);
    EXPECT_DOUBLE_EQ(c.leg.dial->division, 61.2);
    ASSERT_EQ(c.notes.size(), 2U);
    EXPECT_EQ(c.notes[0], "fallback 1: 5195 kHz is in no band of the receiver");
    EXPECT_NE(c.notes[1].find("the sweep takes 14.0 min, but giving up is after 12.0"),
              std::string::npos)
        << c.notes[1];
}

// The clocks go back on 2026-10-25 (Directive 2000/84/EC): 18:30 UTC is 20:30, then 19:30.
TEST(Card, ALocalTimeThatMovesIsPointedOut) {
    Plan with = plan();
    with.contacts[0].start = at("2026-10-01T18:30Z");
    CardConfig config = at_time("2026-10-25T06:00Z");
    config.zone = "Europe/Vienna";
    const auto moved = make_cards(with, config);
    ASSERT_TRUE(moved);
    ASSERT_EQ(moved->front().notes.size(), 1U);
    EXPECT_NE(moved->front().notes[0].find("60 min earlier"), std::string::npos);
    config.machine_now = at("2026-10-26T06:00Z");
    EXPECT_TRUE(make_cards(with, config)->front().notes.empty());
    config.zone = "Nowhere/Hut";
    EXPECT_FALSE(make_cards(with, config));
}

TEST(Card, ManyOrNone) {
    CardConfig config = at_time("2026-11-26T17:00Z");
    config.count = 5;
    EXPECT_EQ(make_cards(plan(), config)->size(), 5U);
    const Plan once = plan_of(std::string(kKit) + contact("a", "2026-11-20T18:30:00Z", 20));
    EXPECT_TRUE(make_cards(once, config)->empty());
}

}  // namespace
}  // namespace skedlark::station
