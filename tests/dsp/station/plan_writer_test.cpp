// Written and read back, a plan is the same: the example, and random ones.
#include "dsp/station/plan_writer.h"

#include <gtest/gtest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

#include "dsp/station/repeat_rule.h"
#include "tests/dsp/station/random_plan.h"
#include "tests/support/seed.h"

namespace skedlark::station {
namespace {

void expect_same(const Channel& a, const Channel& b) {
    EXPECT_EQ(a.receive_khz, b.receive_khz);
    EXPECT_EQ(a.crystal, b.crystal);
    EXPECT_EQ(a.answer_khz, b.answer_khz);
}

void expect_same(const Repeat& a, const Repeat& b) {
    EXPECT_EQ(a.every, b.every);
    EXPECT_EQ(a.weekdays, b.weekdays);
    EXPECT_EQ(a.until, b.until);
    EXPECT_EQ(a.except, b.except);
}

void expect_same(const Contact& a, const Contact& b) {
    EXPECT_EQ(a.name, b.name);
    EXPECT_EQ(a.station, b.station);
    EXPECT_EQ(a.start, b.start);
    expect_same(a.repeat, b.repeat);
    EXPECT_EQ(a.duration, b.duration);
    EXPECT_EQ(a.give_up, b.give_up);
    EXPECT_EQ(a.warm_up, b.warm_up);
    EXPECT_EQ(a.sending, b.sending);
    expect_same(a.channel, b.channel);
    EXPECT_EQ(a.battery, b.battery);
    EXPECT_EQ(a.kit, b.kit);
    ASSERT_EQ(a.fallbacks.size(), b.fallbacks.size());
    for (std::size_t i = 0; i < a.fallbacks.size(); ++i) {
        EXPECT_EQ(a.fallbacks[i].after, b.fallbacks[i].after);
        EXPECT_EQ(a.fallbacks[i].duration, b.fallbacks[i].duration);
        expect_same(a.fallbacks[i].channel, b.fallbacks[i].channel);
    }
}

void expect_same_station(const Plan& a, const Plan& b) {
    ASSERT_EQ(a.stations.size(), b.stations.size());
    for (std::size_t i = 0; i < a.stations.size(); ++i) {
        EXPECT_EQ(a.stations[i].call, b.stations[i].call);
        EXPECT_EQ(a.stations[i].name, b.stations[i].name);
    }
    ASSERT_EQ(a.crystals.size(), b.crystals.size());
    for (std::size_t i = 0; i < a.crystals.size(); ++i) {
        EXPECT_EQ(a.crystals[i].name, b.crystals[i].name);
        EXPECT_EQ(a.crystals[i].khz, b.crystals[i].khz);
    }
    ASSERT_EQ(a.bands.size(), b.bands.size());
    for (std::size_t i = 0; i < a.bands.size(); ++i) {
        EXPECT_EQ(a.bands[i].position, b.bands[i].position);
        EXPECT_EQ(a.bands[i].from_khz, b.bands[i].from_khz);
        EXPECT_EQ(a.bands[i].to_khz, b.bands[i].to_khz);
        EXPECT_EQ(a.bands[i].multiplier, b.bands[i].multiplier);
    }
    ASSERT_EQ(a.batteries.size(), b.batteries.size());
    for (std::size_t i = 0; i < a.batteries.size(); ++i) {
        EXPECT_EQ(a.batteries[i].name, b.batteries[i].name);
        EXPECT_DOUBLE_EQ(a.batteries[i].receive_h, b.batteries[i].receive_h);
        EXPECT_DOUBLE_EQ(a.batteries[i].send_h, b.batteries[i].send_h);
        EXPECT_EQ(a.batteries[i].charge_ratio, b.batteries[i].charge_ratio);
        EXPECT_DOUBLE_EQ(a.batteries[i].charge, b.batteries[i].charge);
        EXPECT_EQ(a.batteries[i].as_of, b.batteries[i].as_of);
    }
}

void expect_same(const Plan& a, const Plan& b) {
    EXPECT_EQ(a.title, b.title);
    EXPECT_EQ(a.call, b.call);
    EXPECT_EQ(a.sending_wpm, b.sending_wpm);
    EXPECT_EQ(a.zone, b.zone);
    expect_same_station(a, b);
    ASSERT_EQ(a.contacts.size(), b.contacts.size());
    for (std::size_t i = 0; i < a.contacts.size(); ++i) {
        expect_same(a.contacts[i], b.contacts[i]);
    }
    ASSERT_EQ(a.charging.size(), b.charging.size());
    for (std::size_t i = 0; i < a.charging.size(); ++i) {
        EXPECT_EQ(a.charging[i].battery, b.charging[i].battery);
        EXPECT_EQ(a.charging[i].start, b.charging[i].start);
        EXPECT_EQ(a.charging[i].duration, b.charging[i].duration);
        expect_same(a.charging[i].repeat, b.charging[i].repeat);
    }
}

TEST(PlanWriter, TheExampleOfTheDocumentationComesBackTheSame) {
    const auto plan = read_plan(EXAMPLE_PLAN);
    ASSERT_TRUE(plan) << plan.error().message;
    const auto back = read_plan_text(plan_toml(*plan), "back");
    ASSERT_TRUE(back) << back.error().message;
    expect_same(*plan, *back);
}

TEST(PlanWriter, RandomPlansComeBackTheSame) {
    std::mt19937 random(static_cast<unsigned>(support::test_seed(11)));
    for (int run = 0; run < 300; ++run) {
        const Plan plan = test::random_plan(random);
        const std::string text = plan_toml(plan);
        const auto back = read_plan_text(text, "back");
        ASSERT_TRUE(back) << back.error().message << "\n" << text;
        expect_same(plan, *back);
        ASSERT_FALSE(::testing::Test::HasFailure()) << text;
    }
}

TEST(PlanWriter, ABatteryBeyondTheHoursThatMayBeWrittenComesBackToo) {
    auto plan = read_plan(EXAMPLE_PLAN);
    ASSERT_TRUE(plan);
    plan->batteries[0].receive_h = 38000.0;  // 38 Ah at 1 mA
    plan->batteries[0].send_h = 11.0;
    const auto back = read_plan_text(plan_toml(*plan), "back");
    ASSERT_TRUE(back) << back.error().message;
    EXPECT_NEAR(back->batteries[0].receive_h, 38000.0, 1e-6);
    EXPECT_NEAR(back->batteries[0].send_h, 11.0, 1e-9);
}

TEST(PlanWriter, RulesAreWrittenAsTheyAreRead) {
    for (const char* rule : {"once", "daily", "weekly", "every 90 min", "every 6 h", "every 2 days",
                             "Mon Wed Fri", "Sun", "every 366 days", "every 1441 min"}) {
        EXPECT_EQ(repeat_text(*parse_repeat(rule)), rule);
    }
}

class SavedPlan : public ::testing::Test {
 protected:
    void SetUp() override { std::filesystem::create_directories(folder_); }
    void TearDown() override { std::filesystem::remove_all(folder_); }
    [[nodiscard]] std::string path(const char* name) const { return (folder_ / name).string(); }
    static std::string content(const std::string& path) {
        std::ostringstream text;
        text << std::ifstream(path, std::ios::binary).rdbuf();
        return text.str();
    }

    const std::filesystem::path folder_ = std::filesystem::temp_directory_path() /
                                          ("skedlark-plan-writer-" + std::to_string(::getpid()));
};

TEST_F(SavedPlan, IsReadBack) {
    const auto plan = read_plan(EXAMPLE_PLAN);
    ASSERT_TRUE(plan);
    const auto saved = save_plan_text(path("p.toml"), plan_toml(*plan));
    ASSERT_TRUE(saved) << saved.error().message;
    EXPECT_EQ(saved->file, path("p.toml"));
    const auto back = read_plan(path("p.toml"));
    ASSERT_TRUE(back) << back.error().message;
    expect_same(*plan, *back);
}

TEST_F(SavedPlan, WhatIsNoPlanLeavesTheOldFile) {
    std::ofstream(path("p.toml")) << "old";
    const auto saved = save_plan_text(path("p.toml"), "call = \"QVA7\"\n");
    ASSERT_FALSE(saved);
    EXPECT_NE(saved.error().message.find("contact: is missing"), std::string::npos);
    EXPECT_EQ(content(path("p.toml")), "old");
}

TEST_F(SavedPlan, AFolderThatIsNotThereIsNamed) {
    const auto plan = read_plan(EXAMPLE_PLAN);
    ASSERT_TRUE(plan);
    const auto saved = save_plan_text(path("none/p.toml"), plan_toml(*plan));
    ASSERT_FALSE(saved);
    EXPECT_EQ(saved.error().code, ErrorCode::write_failed);
    EXPECT_NE(saved.error().message.find("none/p.toml"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::station
