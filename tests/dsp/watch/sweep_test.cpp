#include "dsp/watch/sweep.h"

#include <gtest/gtest.h>

#include <cmath>

#include "dsp/synth/fist.h"
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
