// The plan of the documentation, every way a plan can be wrong, and damage anywhere.
#include "dsp/station/plan_reader.h"

#include <gtest/gtest.h>

#include <fstream>
#include <random>
#include <sstream>

#include "tests/support/seed.h"

namespace skedlark::station {
namespace {

constexpr const char* kPlan = R"(call = "QVA7"
[[station]]
call = "QXB2"
[[crystal]]
name = "K1"
khz = 3560
[[band]]
position = "1"
from_khz = 3000
to_khz = 5000
[[battery]]
name = "b"
receive_h = 8
charge_ratio = 3
[[contact]]
name = "evening"
station = "QXB2"
start = 2026-11-26T18:30:00Z
duration_min = 20
receive_khz = 3570
answer_crystal = "K1"
)";

std::string example() {
    std::ifstream file(EXAMPLE_PLAN, std::ios::binary);
    std::ostringstream text;
    text << file.rdbuf();
    return text.str();
}

// The plan with one line replaced; what is said about it.
std::string wrong(const std::string& line, const std::string& by) {
    std::string text = kPlan;
    const std::size_t at = text.find(line);
    EXPECT_NE(at, std::string::npos) << line;
    text.replace(at, line.size(), by);
    const auto plan = read_plan_text(text, "p.toml");
    return plan ? "" : plan.error().message;
}

TEST(PlanReader, TheExampleOfTheDocumentation) {
    const auto plan = read_plan(EXAMPLE_PLAN);
    ASSERT_TRUE(plan) << plan.error().message;
    EXPECT_EQ(plan->call, "QVA7");
    ASSERT_EQ(plan->contacts.size(), 2U);
    const Contact& evening = plan->contacts[0];
    EXPECT_EQ(evening.start, *parse_utc("2026-11-20T18:30Z"));
    EXPECT_EQ(evening.repeat.every, Minutes(1440));
    EXPECT_EQ(evening.warm_up, Minutes(25));
    EXPECT_EQ(evening.give_up, Minutes(12));
    EXPECT_EQ(evening.battery, "shelf");
    ASSERT_EQ(evening.fallbacks.size(), 2U);
    EXPECT_EQ(evening.fallbacks[0].channel.crystal, "K2");
    EXPECT_EQ(evening.fallbacks[1].duration, Minutes(20)) << "that of the contact";
    EXPECT_EQ(plan->contacts[1].kit.size(), 6U);
    // 38 Ah at 1.9 and 3.4 A.
    EXPECT_NEAR(plan->batteries[0].receive_h, 20.0, 1e-9);
    EXPECT_NEAR(plan->batteries[0].send_h, 38.0 / 3.4, 1e-9);
    EXPECT_DOUBLE_EQ(plan->batteries[0].charge, 0.85);
    EXPECT_EQ(plan->bands[1].multiplier, 2);
}

TEST(PlanReader, WhatIsLeftOutHasAStatedValue) {
    const auto plan = read_plan_text(kPlan, "p.toml");
    ASSERT_TRUE(plan) << plan.error().message;
    const Contact& contact = plan->contacts[0];
    EXPECT_FALSE(contact.repeat.every);
    EXPECT_EQ(contact.give_up, Minutes(20));
    EXPECT_EQ(contact.warm_up, Minutes(kDefaultWarmUpMin));
    EXPECT_EQ(contact.sending, Minutes(5)) << "a quarter of the contact";
    EXPECT_EQ(contact.battery, "b") << "the only one";
    EXPECT_EQ(contact.kit, (std::vector<std::string>{"crystal", "spare valve", "fuse"}));
    EXPECT_DOUBLE_EQ(plan->batteries[0].send_h, 8.0);
    EXPECT_EQ(contact.line, 15);
}

struct Case {
    const char* line;
    const char* by;
    const char* named;
};

TEST(PlanReader, EveryMistakeNamesLineFieldValueAndWhatIsAllowed) {
    for (const Case& c : {
             Case{"call = \"QVA7\"", "", "p.toml:1: call: is missing"},
             Case{"station = \"QXB2\"", "station = \"QXB3\"",
                  "p.toml:17: contact \"evening\": station: 'QXB3' is not in the plan; allowed: "
                  "QXB2"},
             Case{"2026-11-26T18:30:00Z", "2026-11-31T18:30:00Z", "p.toml:18: not TOML"},
             Case{"2026-11-26T18:30:00Z", "2026-03-29T02:30:00",
                  "p.toml:18: contact \"evening\": start: does not say that it is UTC"},
             Case{"duration_min = 20", "duration_min = 0",
                  "p.toml:19: contact \"evening\": duration_min: 0; allowed: 1 to 1440 min"},
             Case{"duration_min = 20", "duration_min = nan", "duration_min: nan"},
             Case{"duration_min = 20", "duration_min = 20\ngive_up_min = 21",
                  "give_up_min: 21; allowed: up to duration_min (20)"},
             Case{"receive_khz = 3570", "receive_khz = -3570", "receive_khz: -3570; allowed: 100"},
             Case{"receive_khz = 3570", "receive_mhz = 3.57", "receive_khz: is missing"},
             Case{"answer_crystal = \"K1\"", "answer_crystal = \"K2\"",
                  "answer_crystal: 'K2' is not in the plan; allowed: K1"},
             Case{"answer_crystal = \"K1\"", "repeat = \"often\"", "repeat: 'often' is not a"},
             Case{"answer_crystal = \"K1\"", "until = 5",
                  "p.toml:21: contact \"evening\": until: 5"},
             Case{"to_khz = 5000", "to_khz = 2000", "band \"1\": to_khz: 2000 is not above"},
             Case{"receive_h = 8", "receive_h = 8\ncapacity_ah = 5", "capacity_ah: cannot stand"},
             Case{"receive_h = 8", "capacity_ah = 5", "receive_a: is missing"},
             Case{"charge_ratio = 3", "charge_ratio = -1", "charge_ratio: -1; allowed: 0.1 to 100"},
             Case{"[[contact]]",
                  "[[battery]]\nname = \"c\"\nreceive_h = 1\ncharge_ratio = 1\n[[contact]]",
                  "battery: is missing; allowed: b, c"},
             Case{"[[contact]]", "[[crystal]]\nname = \"K1\"\nkhz = 4000\n[[contact]]",
                  "name: 'K1' is there twice"},
             Case{"[[contact]]", "[contact]", "contact: allowed: tables, each headed [[contact]]"},
             Case{"answer_crystal = \"K1\"",
                  "[[contact.fallback]]\nafter_min = 10\nreceive_khz = 3600",
                  "after_min: 10; allowed: from the contact's give_up_min (20) on"},
             Case{"answer_crystal = \"K1\"", "[[contact.fallback]]\nafter_min = 30",
                  "fallback: receive_khz: is missing"},
         }) {
        const std::string said = wrong(c.line, c.by);
        EXPECT_NE(said.find(c.named), std::string::npos) << c.by << "\n  said: " << said;
        EXPECT_EQ(said.rfind("p.toml:", 0), 0U) << said;
    }
    EXPECT_NE(read_plan_text("call = 'QVA7'", "p.toml").error().message.find("[[contact]]"),
              std::string::npos);
    EXPECT_FALSE(read_plan_text("", "p.toml"));
}

// No crash and a message on anything: bytes changed, cut, doubled.
TEST(PlanReader, DamageAnywhereIsReadOrRefused) {
    const std::string whole = example();
    ASSERT_GT(whole.size(), 500U);
    std::mt19937_64 random(support::test_seed(5));
    int read = 0;
    for (int i = 0; i < 3000; ++i) {
        std::string text = whole;
        for (std::uint64_t n = random() % 4; n < 4; ++n) {
            const std::size_t at = random() % text.size();
            switch (random() % 4) {
                case 0:
                    text[at] = static_cast<char>(random());
                    break;
                case 1:
                    text.erase(at, random() % 40);
                    break;
                case 2:
                    text.insert(at, text.substr(random() % text.size(), random() % 40));
                    break;
                default:
                    text[at] = "0123456789-\"[]=.\n"[random() % 17];
            }
            if (text.empty()) text = "#";
        }
        const auto plan = read_plan_text(text, "p.toml");
        read += plan ? 1 : 0;
        if (!plan) {
            EXPECT_EQ(plan.error().message.rfind("p.toml:", 0), 0U) << plan.error().message;
        }
    }
    EXPECT_GT(read, 0);
    EXPECT_LT(read, 3000);
}

}  // namespace
}  // namespace skedlark::station
