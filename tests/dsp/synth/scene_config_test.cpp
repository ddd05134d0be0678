// Bad settings: each is refused with field, value and allowed range.
#include "dsp/synth/scene_config.h"

#include <gtest/gtest.h>

#include <functional>
#include <limits>

#include "dsp/synth/scene.h"

namespace skedlark::synth {
namespace {

struct Bad {
    const char* message_starts;
    std::function<void(SceneConfig&)> spoil;
};

const double kNan = std::numeric_limits<double>::quiet_NaN();

SceneConfig good() { return one_text("QVA7 DE QXB2", 16.0, Fist{}, 0.0, 1); }

TEST(SceneConfig, GoodSettingsPass) {
    EXPECT_TRUE(check(good()));
    EXPECT_TRUE(check(SceneConfig{}));
}

TEST(SceneConfig, BadSettingsAreNamed) {
    const Bad rows[] = {
        {"sample_rate_hz: 7999, allowed 8000 to 192000",
         [](SceneConfig& c) { c.sample_rate_hz = 7999; }},
        {"sample_rate_hz: nan, allowed", [](SceneConfig& c) { c.sample_rate_hz = kNan; }},
        {"seconds: -1, allowed 0 to", [](SceneConfig& c) { c.seconds = -1; }},
        {"level_dbfs: 3, allowed -120 to 0", [](SceneConfig& c) { c.level_dbfs = 3; }},
        {"snr_2500hz_db: 200, allowed -60 to 100", [](SceneConfig& c) { c.snr_2500hz_db = 200; }},
        {"track_step_s: 0, allowed", [](SceneConfig& c) { c.track_step_s = 0; }},
        {"beat.pitch_hz: 3990, allowed", [](SceneConfig& c) { c.beat.pitch_hz = 3990; }},
        {"beat.knocks.at_s: 1, allowed 2 or later",
         [](SceneConfig& c) {
             c.beat.knocks = {{2, 5}, {1, 5}};
         }},
        {"wanted.transmissions.text: \"!\" at character 2",
         [](SceneConfig& c) {
             c.wanted.transmissions = {{1, "A!"}};
         }},
        {"wanted.carrier: true, allowed only without",
         [](SceneConfig& c) { c.wanted.carrier = true; }},
        {"wanted.keep_sending: true, allowed only where",
         [](SceneConfig& c) { c.wanted.keep_sending = true; }},
        {"wanted.speed_wpm: 3, allowed 4 to 60", [](SceneConfig& c) { c.wanted.speed_wpm = 3; }},
        {"wanted.overall_wpm: 17, allowed 2 to 16",
         [](SceneConfig& c) { c.wanted.overall_wpm = 17; }},
        {"wanted.fist.dash.cv: 1.5, allowed 0 to 1",
         [](SceneConfig& c) { c.wanted.fist.dash.cv = 1.5; }},
        {"wanted.fist.drift: -0.1, allowed", [](SceneConfig& c) { c.wanted.fist.drift = -0.1; }},
        {"wanted.rise_s: 0.2, allowed 0 to 0.1", [](SceneConfig& c) { c.wanted.rise_s = 0.2; }},
        {"wanted.note.hum_depth: 2, allowed 0 to 1",
         [](SceneConfig& c) { c.wanted.note.hum_depth = 2; }},
        {"wanted.channel.paths: 3, allowed 0 to 2",
         [](SceneConfig& c) { c.wanted.channel.paths = 3; }},
        {"wanted.offset_hz: 10, allowed 0", [](SceneConfig& c) { c.wanted.offset_hz = 10; }},
        {"wanted.level_db: 10, allowed 0", [](SceneConfig& c) { c.wanted.level_db = 10; }},
        {"neighbours[1].offset_hz: 9000, allowed",
         [](SceneConfig& c) {
             c.neighbours.resize(2);
             c.neighbours[1].offset_hz = 9000;
         }},
        {"neighbours[0].offset_hz: 3500, allowed up to 3220",
         [](SceneConfig& c) {
             c.neighbours.resize(1);
             c.neighbours[0].offset_hz = 3500;
         }},
        {"noise.crash_min_s: 0.05, allowed 0.0001 to 0.02",
         [](SceneConfig& c) { c.noise.crash_min_s = 0.05; }},
        {"noise.crashes_per_s: 6, allowed 0 where",
         [](SceneConfig& c) {
             c.noise.crashes_per_s = 6;
             c.snr_2500hz_db.reset();
         }},
        {"noise.vd_db: 0.5, allowed 1.049 to 8", [](SceneConfig& c) { c.noise.vd_db = 0.5; }},
        {"receiver.filter.high_hz: 3700, allowed 10 to 3600",
         [](SceneConfig& c) {
             c.receiver.filter.kind = FilterKind::band;
             c.receiver.filter.high_hz = 3700;
         }},
        {"receiver.mains.mains_hz: 100, allowed 40 to 70",
         [](SceneConfig& c) { c.receiver.mains.mains_hz = 100; }},
        {"receiver.gain_steps.at_s: -1, allowed 0 or later",
         [](SceneConfig& c) {
             c.receiver.gain_steps = {{-1, 0}};
         }},
        {"receiver.own.text: ",
         [](SceneConfig& c) {
             c.receiver.own.resize(1);
             c.receiver.own[0].text = "[ZZ]";
         }},
        {"receiver.limiter_dbfs: 1, allowed -60 to 0",
         [](SceneConfig& c) { c.receiver.limiter_dbfs = 1; }},
        {"receiver.dc: 2, allowed -1 to 1", [](SceneConfig& c) { c.receiver.dc = 2; }},
    };
    for (const Bad& row : rows) {
        SceneConfig config = good();
        row.spoil(config);
        const auto status = check(config);
        ASSERT_FALSE(status) << row.message_starts;
        EXPECT_EQ(status.error().code, ErrorCode::invalid_value);
        EXPECT_EQ(status.error().message.rfind(row.message_starts, 0), 0U)
            << status.error().message << "\nagainst " << row.message_starts;
        EXPECT_FALSE(make_scene(config));
    }
}

}  // namespace
}  // namespace skedlark::synth
