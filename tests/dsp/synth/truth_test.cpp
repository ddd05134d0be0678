#include "dsp/synth/truth.h"

#include <gtest/gtest.h>

#include <nlohmann/json.hpp>

#include "dsp/synth/scene.h"

namespace skedlark::synth {
namespace {

SceneConfig rich_scene() {
    SceneConfig config = one_text("QVA7 = OK [AR] [SK]", 18.0, *fist_by_name("steady"), 3.0, 4);
    config.beat.knocks = {{2.0, 170.0}};
    config.beat.drift_hz_per_s = 1.0;
    config.noise.crashes_per_s = 3.0;
    config.receiver.own.push_back({12.0, "R R [VE]"});
    config.wanted.channel = *channel_by_name("mid-moderate");
    StationConfig neighbour;
    neighbour.offset_hz = 100.0;
    neighbour.level_db = 2.0;
    neighbour.transmissions = {{0.5, "VVV"}};
    config.neighbours.push_back(neighbour);
    return config;
}

TEST(Truth, TextIsWhatWasSent) {
    const auto scene = make_scene(rich_scene());
    ASSERT_TRUE(scene);
    EXPECT_EQ(scene->truth.wanted.text, "QVA7 = OK [AR] [SK]");
    EXPECT_EQ(scene->truth.neighbours.at(0).text, "VVV");
    EXPECT_EQ(scene->truth.own.at(0).text, "R R [VE]");
    EXPECT_DOUBLE_EQ(scene->truth.own.at(0).from_s, 12.0);
    EXPECT_GT(scene->truth.own.at(0).to_s, 13.0);
    EXPECT_GT(scene->truth.crashes.size(), 5U);
    const auto& characters = scene->truth.wanted.characters;
    for (std::size_t i = 1; i < characters.size(); ++i) {
        EXPECT_GE(characters[i].from_s, characters[i - 1].to_s - 1e-9);
        EXPECT_GT(characters[i].to_s, characters[i].from_s);
    }
    EXPECT_DOUBLE_EQ(characters.front().from_s, scene->truth.wanted.marks.front().on_s);
    EXPECT_DOUBLE_EQ(characters.back().to_s, scene->truth.wanted.marks.back().off_s);
}

TEST(Truth, JsonHoldsItAll) {
    const auto scene = make_scene(rich_scene());
    ASSERT_TRUE(scene);
    const Truth& truth = scene->truth;
    const auto json = nlohmann::json::parse(to_json(truth));
    EXPECT_EQ(json["wanted"]["text"], truth.wanted.text);
    EXPECT_EQ(json["seed"], 4);
    EXPECT_EQ(json["snr_2500hz_db"], 3.0);
    EXPECT_EQ(json["wanted"]["characters"].size(), truth.wanted.characters.size());
    EXPECT_EQ(json["wanted"]["marks_on_off_s"].size(), truth.wanted.marks.size());
    EXPECT_NEAR(json["wanted"]["marks_on_off_s"][3][1].get<double>(), truth.wanted.marks[3].off_s,
                1e-4);
    EXPECT_EQ(json["wanted"]["characters"].back()["char"], "SK");
    EXPECT_EQ(json["wanted"]["characters"].back()["procedure"], true);
    EXPECT_EQ(json["neighbours"][0]["offset_hz"], 100.0);
    EXPECT_EQ(json["own"][0]["text"], "R R [VE]");
    EXPECT_EQ(json["knocks"][0]["hz"], 170.0);
    EXPECT_EQ(json["crash_count"], truth.crashes.size());
    EXPECT_EQ(json["pitch_hz"].size(), truth.pitch_hz.size());
    EXPECT_EQ(json["level_db"].size(), truth.level_db.size());
    // One value each 0.1 s.
    EXPECT_NEAR(static_cast<double>(truth.pitch_hz.size()), truth.seconds / 0.1, 1.5);
}

TEST(Truth, NoNoiseIsNull) {
    const auto json = nlohmann::json::parse(to_json(Truth{}));
    EXPECT_TRUE(json["snr_2500hz_db"].is_null());
}

}  // namespace
}  // namespace skedlark::synth
