#include "dsp/dial/map_file.h"

#include <gtest/gtest.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <random>

#include "dsp/core/text_file.h"
#include "tests/dsp/dial/mountain_set.h"
#include "tests/support/seed.h"

namespace skedlark::dial {
namespace {

using nlohmann::json;

Dial dial_of(const char* band = "2") { return *Dial::create(test::mountain_set(), band); }

PlaceMap used_map() {
    const Dial dial = dial_of();
    PlaceMap map = *PlaceMap::create(dial, *dial.setting(4.35));
    const auto chance =
        *ChanceByRate::create(*DetectionModel::square_law({}), {.level_sd_db = 3.0});
    EXPECT_TRUE(
        map.heard({29.0, 30.5, 2.0, 0.1, {{29.7, 0.1}, {30.1, 0.2, Heard::other_call, 0.4}}},
                  chance)
            .ok());
    return map;
}

std::string message(const std::string& text) {
    const auto map = parse_map(text, "hut.map", dial_of(), 4.35);
    return map.ok() ? "" : map.error().message;
}

class MapFile : public ::testing::Test {
 protected:
    void SetUp() override {
        folder_ = std::filesystem::temp_directory_path() /
                  ("map_file_test_" + std::to_string(std::random_device{}()));
        std::filesystem::create_directory(folder_);
    }
    void TearDown() override { std::filesystem::remove_all(folder_); }
    std::filesystem::path folder_;
};

TEST_F(MapFile, ComesBackAsItWas) {
    const PlaceMap map = used_map();
    const std::string path = folder_ / "hut.map";
    ASSERT_TRUE(write_map(path, map).ok());
    const auto back = read_map(path, dial_of(), 4.35);
    ASSERT_TRUE(back.ok()) << back.error().message;
    EXPECT_EQ(map_json(*back), map_json(map));
    EXPECT_EQ(back->candidates().size(), 2U);
    EXPECT_EQ(back->passes(), 1);
    EXPECT_EQ(back->chance_so_far(), map.chance_so_far());
    EXPECT_EQ(back->khz_per_div(3), map.khz_per_div(3));
    // Nothing but the file is left behind.
    EXPECT_EQ(std::distance(std::filesystem::directory_iterator(folder_), {}), 1);
}

TEST_F(MapFile, WhatCannotBeWrittenLeavesNothing) {
    EXPECT_FALSE(write_map((folder_ / "not there" / "hut.map").string(), used_map()).ok());
    EXPECT_EQ(read_map((folder_ / "hut.map").string(), dial_of(), 4.35).error().code,
              ErrorCode::not_found);
}

TEST_F(MapFile, AnotherReceiverBandOrStationIsRefused) {
    const std::string text = map_json(used_map());
    Receiver other = test::mountain_set();
    other.name = "Valley set";
    const auto receiver = parse_map(text, "hut.map", *Dial::create(other, "2"), 4.35);
    ASSERT_FALSE(receiver.ok());
    EXPECT_NE(receiver.error().message.find("'Saddle hut set', not of 'Valley set'"),
              std::string::npos);
    const auto band = parse_map(text, "hut.map", dial_of("1"), 4.35);
    ASSERT_FALSE(band.ok());
    EXPECT_NE(band.error().message.find("band"), std::string::npos);
    const auto station = parse_map(text, "hut.map", dial_of(), 4.4);
    ASSERT_FALSE(station.ok());
    EXPECT_NE(station.error().message.find("4.35 MHz, not for 4.4 MHz"), std::string::npos);
}

TEST_F(MapFile, DamageIsNamed) {
    const json good = json::parse(map_json(used_map()));
    for (const auto& [key, value] : good.items()) {
        json without = good;
        without.erase(key);
        EXPECT_NE(message(without.dump()).find("hut.map: " + key + " is missing"),
                  std::string::npos)
            << key;
        json odd = good;
        odd[key] = json::object();
        EXPECT_NE(message(odd.dump()).find("hut.map: " + key), std::string::npos) << key;
    }
    const auto with = [&](const char* key, const json& value) {
        json wrong = good;
        wrong[key] = value;
        return message(wrong.dump());
    };
    EXPECT_NE(with("version", 2).find("version: 2"), std::string::npos);
    EXPECT_NE(with("format", "diary").find("'diary'"), std::string::npos);
    EXPECT_NE(with("step_div", -0.1).find("step_div: -0.1"), std::string::npos);
    EXPECT_NE(with("low_div", nullptr).find("low_div is no number"), std::string::npos);
    EXPECT_NE(with("passes", 1e12).find("passes"), std::string::npos);
    EXPECT_NE(with("passes", -1).find("passes"), std::string::npos);
    EXPECT_NE(with("elsewhere", 0.5).find("chances sum to 1."), std::string::npos);
    EXPECT_NE(with("left", json::array()).find("left: 0 cells"), std::string::npos);
    json wrong = good;
    wrong["now"][4][1] = -0.5;
    EXPECT_NE(message(wrong.dump()).find("-0.5"), std::string::npos);
    wrong = good;
    wrong["now"][4] = json::array({1, 2});
    EXPECT_NE(message(wrong.dump()).find("now[4]"), std::string::npos);
    wrong = good;
    wrong["candidates"][1]["heard"] = "music";
    EXPECT_NE(message(wrong.dump()).find("candidates[1].heard: 'music'"), std::string::npos);
    wrong = good;
    wrong["candidates"][0]["sd_div"] = -1;
    EXPECT_NE(message(wrong.dump()).find("sd_div"), std::string::npos);
}

TEST_F(MapFile, AnyBytesGiveAnErrorOrAMap) {
    const std::string good = map_json(used_map());
    std::mt19937 random(support::test_seed(4711));
    for (int trial = 0; trial < 300; ++trial) {
        std::string text = good;
        for (int n = 0; n < 3; ++n) {
            text[random() % text.size()] = static_cast<char>(random() % 256);
        }
        if (trial % 3 == 0) text.resize(random() % text.size());
        const auto map = parse_map(text, "hut.map", dial_of(), 4.35);
        if (!map.ok()) {
            EXPECT_EQ(map.error().message.rfind("hut.map: ", 0), 0U);
        }
    }
    for (const char* text : {"", "[]", "1", "null", "{}", "\"map\"", "{\"format\":1}"}) {
        EXPECT_FALSE(message(text).empty()) << text;
    }
}

}  // namespace
}  // namespace skedlark::dial
