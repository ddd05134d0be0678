// The desk's sweep over the demo recording, whose truth stands in recordings/truth.
#include "gui/sweep/sweep_user.h"

#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>

#include "dsp/audio/file_source.h"
#include "dsp/dial/receiver_file.h"
#include "gui/sweep/zero_in_user.h"

namespace skedlark::gui {
namespace {

std::vector<float> recording() {
    static const std::vector<float> kAudio = [] {
        auto source = audio::open_file(EXAMPLE_SWEEP, {});
        EXPECT_TRUE(source.ok());
        std::vector<float> audio;
        std::vector<float> block(4000);
        while (true) {
            const auto read = (*source)->read(block);
            if (!read || (read->end && read->frames == 0)) return audio;
            audio.insert(audio.end(), block.begin(), block.begin() + read->frames);
        }
    }();
    return kAudio;
}

std::vector<double> true_divs() {
    std::ifstream in(EXAMPLE_SWEEP_TRUTH);
    const auto truth = nlohmann::json::parse(in);
    std::vector<double> divs;
    for (const auto& station : truth.at("stations"))
        divs.push_back(42.0 + 2.0 * station.at("zero_beats_s")[0].get<double>() / 56.0);
    return divs;
}

class SweepUserTest : public ::testing::Test {
 protected:
    dial::Dial dial_ = *dial::Dial::create(*dial::read_receiver(EXAMPLE_CHART), "2");
    SweepSetup setup_{.from_div = 42.0, .to_div = 44.0, .count_in_s = 0.0};

    // As the hub would hand it on; each_block is asked after every one with the seconds so far.
    template <typename EachBlock>
    void play(AudioUser& user, EachBlock&& each_block, double seconds = 1e9) {
        const auto audio = recording();
        user.begin(
            {.name = EXAMPLE_SWEEP, .seconds = static_cast<double>(audio.size()) / kWorkRateHz});
        for (std::size_t at = 0; at < audio.size(); at += 400) {
            const double at_s = static_cast<double>(at) / kWorkRateHz;
            if (at_s >= seconds) break;
            const auto size = std::min<std::size_t>(400, audio.size() - at);
            user.take({.audio = std::span(audio).subspan(at, size)}, static_cast<FrameIndex>(at));
            each_block(at_s);
        }
    }
    static void expect_true_stations(const SweepState& state, std::size_t how_many) {
        const auto divs = true_divs();
        ASSERT_EQ(state.stations.size(), how_many);
        for (std::size_t n = 0; n < how_many; ++n) {
            EXPECT_LE(state.stations[n].low95_div, divs[n]) << n;
            EXPECT_GE(state.stations[n].high95_div, divs[n]) << n;
        }
    }
};

TEST_F(SweepUserTest, MeetsTheStationsWhereTheyStand) {
    setup_.wanted_mhz = 3.765;
    SweepUser user(dial_, setup_);
    play(user, [](double) {});
    user.end();
    const SweepState state = user.state();
    EXPECT_EQ(state.phase, SweepPhase::over);
    EXPECT_EQ(state.failure, "");
    expect_true_stations(state, 4);
    ASSERT_TRUE(state.go_back.has_value());
    EXPECT_NE(state.stations[*state.go_back].keyed, std::optional<bool>(false));
    ASSERT_NE(state.map, nullptr);
    EXPECT_EQ(state.map->passes, 1);
    EXPECT_EQ(state.map_problem, "");
    EXPECT_EQ(state.clicks, 3);  // 42, 43 and 44
}

TEST_F(SweepUserTest, ThePictureIsFilledFromOneEndToTheOther) {
    SweepUser user(dial_, setup_);
    std::vector<bool> filled(SweptColumns::kColumns, false);
    play(user, [&](double) {
        for (const SweptColumn& one : user.take_columns())
            filled[static_cast<std::size_t>(one.column)] = true;
    });
    user.end();
    for (const SweptColumn& one : user.take_columns())
        filled[static_cast<std::size_t>(one.column)] = true;
    // The window's half at both ends is not seen.
    EXPECT_GE(std::count(filled.begin(), filled.end(), true), SweptColumns::kColumns - 4);
}

TEST_F(SweepUserTest, HalfASweepLosesNothing) {
    SweepUser user(dial_, setup_);
    play(
        user, [](double) {}, 30.0);
    EXPECT_EQ(user.state().phase, SweepPhase::turning);
    user.end();
    EXPECT_EQ(user.state().phase, SweepPhase::over);
    EXPECT_NEAR(user.state().heard_s, 30.0, 0.1);
    expect_true_stations(user.state(), 2);
}

TEST_F(SweepUserTest, MarksPlaceTheStations) {
    setup_.way = DialWay::marked;
    setup_.div_per_min = 2.0;
    SweepUser user(dial_, setup_);
    EXPECT_FALSE(user.mark());  // nothing is heard yet
    std::vector<double> at{0.0, 28.0, 55.9};
    std::size_t next = 0;
    play(user, [&](double at_s) {
        if (next >= at.size() || at_s < at[next]) return;
        EXPECT_EQ(user.state().next_mark_div, 42.0 + static_cast<double>(next));
        EXPECT_TRUE(user.mark());
        if (next == 0) {
            EXPECT_TRUE(user.take_mark_back());
            EXPECT_TRUE(user.mark());
        }
        ++next;
    });
    user.end();
    EXPECT_EQ(user.state().marks, 3U);
    expect_true_stations(user.state(), 4);
}

TEST_F(SweepUserTest, FewerThanTwoMarksPlaceNothing) {
    setup_.way = DialWay::marked;
    SweepUser user(dial_, setup_);
    play(
        user, [](double) {}, 2.0);
    user.end();
    EXPECT_EQ(user.state().phase, SweepPhase::over);
    EXPECT_TRUE(user.state().stations.empty());
    EXPECT_TRUE(user.take_columns().empty());
}

TEST_F(SweepUserTest, TheCountInIsLetGo) {
    setup_.count_in_s = 5.0;
    setup_.div_per_min = 2.0;
    SweepUser user(dial_, setup_);
    const std::vector<double> due{5.0, 35.0, 65.0};
    bool counted = false;
    play(user, [&](double at_s) {
        const SweepState state = user.state();
        if (at_s < 4.9) {
            EXPECT_EQ(state.phase, SweepPhase::counting_in);
            EXPECT_EQ(state.dial_div, 42.0);
            counted = true;
        } else if (at_s > 36.0) {
            EXPECT_EQ(state.clicks, 2);
            EXPECT_NEAR(*state.dial_div, 42.0 + (at_s + 0.05 - 5.0) / 30.0, 1e-3);
        }
    });
    EXPECT_TRUE(counted);
    EXPECT_EQ(user.clicks_due_s(), due);
}

TEST_F(SweepUserTest, StepsRestAndMoveOn) {
    setup_ = {.way = DialWay::stepped,
              .from_div = 42.0,
              .to_div = 42.4,
              .step_div = 0.2,
              .rest_s = 10.0,
              .move_s = 2.0,
              .count_in_s = 0.0};
    SweepUser user(dial_, setup_);
    play(user, [&](double at_s) {
        const SweepState state = user.state();
        if (at_s > 1.0 && at_s < 9.0) {
            EXPECT_TRUE(state.resting);
            EXPECT_DOUBLE_EQ(*state.dial_div, 42.0);
        } else if (at_s > 10.2 && at_s < 11.5) {
            EXPECT_FALSE(state.resting);
            EXPECT_DOUBLE_EQ(*state.dial_div, 42.2);
        }
    });
    EXPECT_EQ(user.state().phase, SweepPhase::over);
    EXPECT_EQ(user.clicks_due_s().size(), 3U);
}

TEST_F(SweepUserTest, TheMapIsKeptAndADamagedOneIsLeftAlone) {
    const auto file = std::filesystem::temp_directory_path() / "skedlark_desk_sweep_map.json";
    std::filesystem::remove(file);
    setup_.wanted_mhz = 3.765;
    setup_.map_file = file.string();
    for (const int passes : {1, 2}) {
        SweepUser user(dial_, setup_);
        play(
            user, [](double) {}, 20.0);
        user.end();
        EXPECT_EQ(user.state().map->passes, passes) << user.state().map_problem;
    }
    std::ofstream(file) << "not a map";
    SweepUser user(dial_, setup_);
    play(
        user, [](double) {}, 5.0);
    user.end();
    EXPECT_NE(user.state().map_problem.find(file.string()), std::string::npos);
    std::string kept;
    std::getline(std::ifstream(file), kept);
    EXPECT_EQ(kept, "not a map");
    std::filesystem::remove(file);
}

TEST_F(SweepUserTest, WhatCannotBeSweptSaysWhy) {
    setup_.to_div = 400.0;
    SweepUser user(dial_, setup_);
    user.begin({});
    EXPECT_EQ(user.state().phase, SweepPhase::over);
    EXPECT_EQ(user.state().failure, "To: 400, allowed: 0 to 100");
    user.end();
}

}  // namespace
}  // namespace skedlark::gui
