#include "dsp/synth/conditions.h"

#include <gtest/gtest.h>

namespace skedlark::synth {
namespace {

TEST(Conditions, ListOfItems) {
    SceneConfig config;
    ASSERT_TRUE(apply_conditions(
        "f1487:mid-moderate, static:6,20;neighbour:100,2 ; knock:12.5,-170", config));
    EXPECT_EQ(config.wanted.channel.paths, 2);
    EXPECT_DOUBLE_EQ(config.wanted.channel.delay_s, 0.001);
    EXPECT_DOUBLE_EQ(config.wanted.channel.spread_hz, 0.5);
    EXPECT_DOUBLE_EQ(config.noise.crashes_per_s, 6.0);
    EXPECT_DOUBLE_EQ(config.noise.crash_level_db, 20.0);
    ASSERT_EQ(config.neighbours.size(), 1U);
    EXPECT_DOUBLE_EQ(config.neighbours[0].offset_hz, 100.0);
    EXPECT_DOUBLE_EQ(config.neighbours[0].level_db, 2.0);
    EXPECT_TRUE(config.neighbours[0].keep_sending);
    ASSERT_EQ(config.beat.knocks.size(), 1U);
    EXPECT_DOUBLE_EQ(config.beat.knocks[0].hz, -170.0);
}

TEST(Conditions, FaultsOfKeyAndTransmitter) {
    SceneConfig config;
    ASSERT_TRUE(apply_conditions("lag:40;bounce:0.3,2", config));
    EXPECT_DOUBLE_EQ(config.wanted.transmitter.lag_s, 0.04);
    EXPECT_DOUBLE_EQ(config.wanted.transmitter.lag_spread, 1.0 / 3.0);
    EXPECT_DOUBLE_EQ(config.wanted.transmitter.bounce_chance, 0.3);
    EXPECT_DOUBLE_EQ(config.wanted.transmitter.bounce_open_s, 0.002);
}

TEST(Conditions, FreeTextMayHoldCommas) {
    SceneConfig config;
    ASSERT_TRUE(apply_conditions("own:5,QVA7 DE QXB2, OK;hum:-6", config));
    ASSERT_EQ(config.receiver.own.size(), 1U);
    EXPECT_EQ(config.receiver.own[0].text, "QVA7 DE QXB2, OK");
    EXPECT_DOUBLE_EQ(config.receiver.own[0].at_s, 5.0);
    EXPECT_TRUE(config.receiver.mains.on);
    EXPECT_DOUBLE_EQ(config.receiver.mains.level_db, -6.0);
}

// Milliseconds of the line become seconds of the settings; values land where their names say.
TEST(Conditions, ValuesAndUnits) {
    SceneConfig config;
    ASSERT_TRUE(
        apply_conditions("fading:0.5,2;chirp:-80,30;soft:4;drift:1,40;wander:3,2;raw:0.8,15;"
                         "heavy:4;peak:650,150;limit:-6;gain:3,-12;dc:0.1;warble:30,2",
                         config));
    EXPECT_EQ(config.wanted.channel.paths, 2);
    EXPECT_DOUBLE_EQ(config.wanted.channel.spread_hz, 0.5);
    EXPECT_DOUBLE_EQ(config.wanted.channel.delay_s, 0.002);
    EXPECT_DOUBLE_EQ(config.wanted.note.chirp_hz, -80.0);
    EXPECT_DOUBLE_EQ(config.wanted.note.chirp_settle_s, 0.030);
    EXPECT_DOUBLE_EQ(config.wanted.rise_s, 0.004);
    EXPECT_DOUBLE_EQ(config.beat.drift_hz_per_s, 1.0);
    EXPECT_DOUBLE_EQ(config.beat.drift_span_hz, 40.0);
    EXPECT_DOUBLE_EQ(config.beat.wander_hz, 3.0);
    EXPECT_DOUBLE_EQ(config.beat.wander_step_s, 2.0);
    EXPECT_DOUBLE_EQ(config.wanted.note.hum_depth, 0.8);
    EXPECT_DOUBLE_EQ(config.wanted.note.hum_fm_hz, 15.0);
    EXPECT_DOUBLE_EQ(config.noise.vd_db, 4.0);
    EXPECT_EQ(config.receiver.filter.kind, FilterKind::peak);
    EXPECT_DOUBLE_EQ(config.receiver.filter.centre_hz, 650.0);
    EXPECT_DOUBLE_EQ(config.receiver.filter.width_hz, 150.0);
    EXPECT_TRUE(config.receiver.limiter);
    EXPECT_DOUBLE_EQ(config.receiver.limiter_dbfs, -6.0);
    EXPECT_DOUBLE_EQ(config.receiver.gain_steps.at(0).db, -12.0);
    EXPECT_DOUBLE_EQ(config.receiver.dc, 0.1);
    EXPECT_DOUBLE_EQ(config.wanted.note.warble_rate_hz, 2.0);
    ASSERT_TRUE(apply_conditions("fading:0.05", config));
    EXPECT_EQ(config.wanted.channel.paths, 1);
}

// Every name works as its own form tells, with numbers put in for the words.
TEST(Conditions, EveryNameIsOfItsForm) {
    for (const ConditionHelp& help : condition_names()) {
        std::string form(help.form);
        EXPECT_EQ(form.rfind(help.name, 0), 0U) << form;
        EXPECT_FALSE(help.help.empty());
        std::string item(help.name);
        if (form.find(":NAME") != std::string::npos)
            item += ":mid-quiet";
        else if (form.find("TEXT") != std::string::npos)
            item += ":3,HI";
        else if (form.find(':') != std::string::npos && form.find("[:") == std::string::npos) {
            const auto required = form.substr(form.find(':'), form.find('[') - form.find(':'));
            item += ":5";
            if (required.find(',') != std::string::npos) item += ",-7";
        }
        SceneConfig config;
        const auto status = apply_conditions(item, config);
        EXPECT_TRUE(status) << item << ": " << (status ? "" : status.error().message);
    }
}

TEST(Conditions, EmptyChangesNothing) {
    SceneConfig config;
    EXPECT_TRUE(apply_conditions("", config));
    EXPECT_TRUE(apply_conditions(" ; ", config));
    EXPECT_TRUE(config.neighbours.empty());
}

TEST(Conditions, MistakesAreNamedAndChangeNothing) {
    SceneConfig config;
    for (const char* bad : {"static:six", "neighbour:100", "neighbour:1,2,3,4", "slow:1", "knock:1",
                            "own:x,HI", "f1487", "static:6,20,3", "drift:", "dc:1e"}) {
        const auto status = apply_conditions(std::string("hum;") + bad, config);
        ASSERT_FALSE(status) << bad;
        EXPECT_EQ(status.error().code, ErrorCode::invalid_value) << bad;
        EXPECT_NE(status.error().message.find(std::string("\"") + bad + "\", allowed "),
                  std::string::npos)
            << status.error().message;
        EXPECT_FALSE(config.receiver.mains.on);
    }
    const auto unknown = apply_conditions("thunder:3", config);
    ASSERT_FALSE(unknown);
    EXPECT_EQ(unknown.error().code, ErrorCode::not_found);
    EXPECT_NE(unknown.error().message.find("f1487, fading,"), std::string::npos);
    EXPECT_FALSE(apply_conditions("f1487:mid", config));
}

}  // namespace
}  // namespace skedlark::synth
