#include "dsp/watch/sweep.h"

#include <gtest/gtest.h>

#include <cmath>

#include "dsp/synth/fist.h"
#include "dsp/synth/scene.h"
#include "dsp/synth/sweep_scene.h"
#include "tests/dsp/dial/mountain_set.h"
#include "tests/support/seed.h"

namespace skedlark::watch {
namespace {

dial::Dial band_2() {
    auto dial = dial::Dial::create(test::mountain_set(), "2");
    EXPECT_TRUE(dial.ok());
    return *dial;
}

// A dial turned evenly in hertz from a division on; over two divisions the chart is straight enough.
struct Turned {
    std::vector<float> audio;
    dial::Motion motion;
    std::vector<double> divs;  // of the stations
};

Turned turned(const dial::Dial& dial, std::uint64_t seed, double from_div, double to_div,
              const std::vector<double>& offsets_hz, double snr_2500hz_db) {
    const double span_hz = 1e6 * (dial.mhz_at(to_div) - dial.mhz_at(from_div));
    synth::SweepSceneConfig config;
    config.seed = seed;
    config.seconds = std::abs(span_hz) / 1000.0;
    config.snr_2500hz_db = snr_2500hz_db;
    config.dial.rate_hz_per_s = span_hz / config.seconds;
    std::vector<double> divs;
    for (const double offset_hz : offsets_hz) {
        synth::SweepStation one;
        one.at_hz = offset_hz;
        one.station.keep_sending = true;
        one.station.speed_wpm = 16.0;
        config.stations.push_back(one);
        divs.push_back(from_div + (to_div - from_div) * offset_hz / span_hz);
    }
    const auto scene = synth::make_sweep_scene(config);
    EXPECT_TRUE(scene.ok());
    return {scene->samples, *dial::Motion::paced(from_div, to_div, config.seconds, 0.1), divs};
}

TEST(Sweep, StationsStandAtTheirDivisionAndFrequency) {
    const auto dial = band_2();
    for (const bool up : {true, false}) {
        const double from = up ? 50.0 : 52.0;
        const auto made = turned(dial, support::test_seed(41), from, 102.0 - from,
                                 {(up ? 1.0 : -1.0) * 12000.0, (up ? 1.0 : -1.0) * 40000.0}, -8.0);
        auto sweep = Sweep::create(dial, made.motion);
        ASSERT_TRUE(sweep.ok()) << sweep.error().message;
        sweep->process(made.audio);
        sweep->finish();
        const auto stations = sweep->stations();
        ASSERT_EQ(stations.size(), 2U);
        for (std::size_t n = 0; n < 2; ++n) {
            EXPECT_NEAR(stations[n].div, made.divs[n], 0.03);
            EXPECT_LT(stations[n].low95_div, stations[n].div);
            EXPECT_GT(stations[n].sd_div, 0.09);
            EXPECT_LT(stations[n].sd_div, 0.2);
            EXPECT_NEAR(stations[n].mhz, dial.mhz_at(made.divs[n]), 0.001);
            EXPECT_GT(stations[n].mhz_sd, 0.0);
        }
    }
}

TEST(Sweep, TheMapFollowsWhatWasHeard) {
    const auto dial = band_2();
    const auto setting = dial.setting(dial.mhz_at(51.0));
    ASSERT_TRUE(setting.ok());
    const auto chance = dial::ChanceByRate::create(
        dial::DetectionModel::from([](double, double) { return 0.9; }), {});
    ASSERT_TRUE(chance.ok());
    const auto after = [&](const std::vector<double>& offsets_hz) {
        auto map = dial::PlaceMap::create(dial, *setting);
        EXPECT_TRUE(map.ok());
        const auto made = turned(dial, support::test_seed(43), 50.0, 52.0, offsets_hz, -8.0);
        auto sweep = Sweep::create(dial, made.motion);
        EXPECT_TRUE(sweep.ok());
        sweep->process(made.audio);
        sweep->finish();
        EXPECT_TRUE(sweep->update(*map, *chance, 1e9).ok());
        EXPECT_EQ(map->passes(), 1);
        return *map;
    };
    const auto setting_map = dial::PlaceMap::create(dial, *setting);
    const auto silent = after({});
    EXPECT_LT(silent.chance_between(50.5, 51.5), setting_map->chance_between(50.5, 51.5));
    const auto met = after({27000.0});
    EXPECT_GT(met.chance_between(50.7, 51.3), setting_map->chance_between(50.7, 51.3));
    EXPECT_GT(met.chance_between(50.5, 51.5), silent.chance_between(50.5, 51.5));
}

TEST(Sweep, MarksThatComeLaterSayWhereTheStationsWere) {
    const auto dial = band_2();
    const auto made = turned(dial, support::test_seed(45), 50.0, 52.0, {12000.0, 40000.0}, -5.0);
    const double whole_s = made.motion.marks().back().at_s;
    auto sweep = Sweep::create(dial, {0.5 * 2.0 / whole_s, 2.0 * 2.0 / whole_s, 50.0, 52.0});
    ASSERT_TRUE(sweep.ok()) << sweep.error().message;
    const auto half = std::span(made.audio).first(made.audio.size() * 2 / 3);
    sweep->process(half);
    EXPECT_TRUE(sweep->stations().empty());  // heard, but where?
    sweep->turned(*dial::Motion::marked({{0.0, 50.0}, {0.5 * whole_s, 51.0}}, 0.1));
    ASSERT_EQ(sweep->stations().size(), 1U);
    EXPECT_NEAR(sweep->stations()[0].div, made.divs[0], 0.03);
    sweep->turned(
        *dial::Motion::marked({{0.0, 50.0}, {0.5 * whole_s, 51.0}, {whole_s, 52.0}}, 0.1));
    sweep->process(std::span(made.audio).subspan(half.size()));
    sweep->finish();
    ASSERT_EQ(sweep->stations().size(), 2U);
    EXPECT_NEAR(sweep->stations()[1].div, made.divs[1], 0.03);
}

TEST(Sweep, WhatWasLostOrDrownedIsNotTakenForSearched) {
    const auto dial = band_2();
    const auto setting = dial.setting(dial.mhz_at(51.0));
    // Heard at the level meant, or 3 dB lower; no lower.
    const auto chance = dial::ChanceByRate::create(
        dial::DetectionModel::from([](double, double snr) { return snr > -14.0 ? 0.9 : 0.0; }), {});
    auto made = turned(dial, support::test_seed(47), 50.0, 52.0, {}, -8.0);
    const std::size_t third = made.audio.size() / 3;
    enum class What { whole, lost, loud };
    const auto chance_so_far = [&](What what, double from_div, double to_div) {
        auto audio = made.audio;
        for (std::size_t n = third; n < 2 * third; ++n) {
            if (what == What::lost) audio[n] = 0.0F;
            if (what == What::loud) audio[n] *= 10.0F;  // 20 dB
        }
        auto sweep = Sweep::create(dial, made.motion);
        EXPECT_TRUE(sweep.ok());
        const std::span<const float> all(audio);
        sweep->process(all.first(third));
        sweep->process(all.subspan(third, third), what == What::lost);
        sweep->process(all.subspan(2 * third));
        sweep->finish();
        auto map = *dial::PlaceMap::create(dial, *setting);
        const double before = map.chance_between(from_div, to_div);
        EXPECT_TRUE(sweep->update(map, *chance, 1e9).ok());
        // What is left of it, against what is left in the middle of nowhere.
        return map.chance_between(from_div, to_div) / before /
               (map.chance_between(49.3, 49.6) /
                dial::PlaceMap::create(dial, *setting)->chance_between(49.3, 49.6));
    };
    EXPECT_NEAR(chance_so_far(What::whole, 50.9, 51.1), 0.1, 0.02);
    EXPECT_NEAR(chance_so_far(What::lost, 50.9, 51.1), 1.0, 0.02);
    EXPECT_NEAR(chance_so_far(What::loud, 50.9, 51.1), 1.0, 0.02);
    EXPECT_NEAR(chance_so_far(What::lost, 50.3, 50.4), 0.1, 0.02);
    EXPECT_NEAR(chance_so_far(What::loud, 51.6, 51.7), 0.1, 0.02);
}

// A station 800 Hz above the second of three stops.
TEST(Sweep, StopsAreHeardAsTheyAre) {
    const auto dial = band_2();
    const double hz_per_div = 1000.0 * std::abs(dial.khz_per_div(50.5));
    const auto motion = dial::Motion::stepped({50.0, 51.0, 0.5, 20.0, 1.0}, 0.1);
    auto config = synth::one_text("QVB QVB QVB QVB QVB", 16.0, {}, 3.0, support::test_seed(49));
    config.seconds = 63.0;
    config.beat.pitch_hz = 800.0;
    config.wanted.transmissions[0].at_s = 22.0;
    const auto scene = synth::make_scene(config);
    ASSERT_TRUE(scene.ok()) << scene.error().message;
    auto sweep = Sweep::create(dial, *motion, {.calls = {"QVB"}});
    ASSERT_TRUE(sweep.ok()) << sweep.error().message;
    sweep->process(scene->samples);
    sweep->finish();
    ASSERT_EQ(sweep->stations().size(), 1U);
    const auto& one = sweep->stations()[0];
    EXPECT_EQ(one.div, 50.5);
    ASSERT_TRUE(one.stop_pitch_hz);
    EXPECT_NEAR(*one.stop_pitch_hz, 800.0, 3.0);
    EXPECT_NEAR(one.sd_div, std::hypot(dial.receiver().reading_sd_div, 800.0 / hz_per_div), 1e-3);
    ASSERT_TRUE(one.expected_call);
    // The call speaks for this place more than a keyed tone would.
    const auto setting = dial.setting(dial.mhz_at(50.5));
    const auto chance = dial::ChanceByRate::create(
        dial::DetectionModel::from([](double, double) { return 0.9; }), {});
    auto map = *dial::PlaceMap::create(dial, *setting);
    EXPECT_TRUE(sweep->update(map, *chance, 1e9).ok());
    EXPECT_GT(map.chance_between(50.2, 50.8), 0.97);
    EXPECT_EQ(map.passes(), 3);
}

TEST(Sweep, TheStationToGoBackTo) {
    std::vector<SweepStation> stations(4);
    for (SweepStation& one : stations) one.keyed = true;
    stations[0].broadcast = true;
    stations[0].snr_2500hz_db = 40.0;
    stations[1].keyed = false;
    stations[1].snr_2500hz_db = 30.0;
    stations[2].other_call = CallHeard{"QVB", 0.99};
    stations[2].snr_2500hz_db = 20.0;
    EXPECT_EQ(station_to_go_back_to({stations[0], stations[1], stations[2]}, nullptr), nullptr);
    stations.emplace_back();  // keyed or not is not known
    stations[3].snr_2500hz_db = -10.0;
    stations[4].snr_2500hz_db = -8.0;
    EXPECT_EQ(station_to_go_back_to(stations, nullptr), &stations[4]);
    stations[3].expected_call = CallHeard{"QVA", 0.6};
    EXPECT_EQ(station_to_go_back_to(stations, nullptr), &stations[3]);
    // Where the map says most, level counts for nothing.
    stations[3].expected_call.reset();
    const auto dial = band_2();
    const auto map = *dial::PlaceMap::create(dial, *dial.setting(dial.mhz_at(50.5)));
    stations[3].low95_div = 50.4;
    stations[3].high95_div = 50.6;
    stations[4].low95_div = 70.4;
    stations[4].high95_div = 70.6;
    EXPECT_EQ(station_to_go_back_to(stations, &map), &stations[3]);
}

TEST(Sweep, PacesAndPlacesThatCannotBe) {
    const auto dial = band_2();
    const auto fails = [&](double from, double to, double seconds, const std::string& message) {
        const auto sweep = Sweep::create(dial, *dial::Motion::paced(from, to, seconds, 0.1));
        ASSERT_FALSE(sweep.ok());
        EXPECT_NE(sweep.error().message.find(message), std::string::npos) << sweep.error().message;
    };
    fails(50.0, 51.0, 3600.0, "the dial moves by");
    fails(10.0, 90.0, 1.0, "the dial moves by");
    fails(90.0, 130.0, 600.0, "division 130 is not on the dial");
}

}  // namespace
}  // namespace skedlark::watch
