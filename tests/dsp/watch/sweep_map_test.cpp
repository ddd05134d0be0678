#include "dsp/watch/sweep_map.h"

#include <gtest/gtest.h>

#include <cmath>
#include <filesystem>

#include "tests/dsp/dial/mountain_set.h"

namespace skedlark::watch {
namespace {

dial::ChanceByRate even_chance() {
    return *dial::ChanceByRate::create(
        dial::DetectionModel::from([](double, double) { return 0.9; }), {});
}

std::string fresh_file(const char* name) {
    const auto path = std::filesystem::temp_directory_path() / name;
    std::filesystem::remove(path);
    return path.string();
}

// Band 2's divisions rise with the frequency, band 3's fall.
TEST(SweepMap, AdvisesAStretchAboutTheSettingWhicheverWayTheDialRuns) {
    for (const char* band : {"2", "3"}) {
        const auto dial = *dial::Dial::create(test::mountain_set(), band);
        const auto setting = *dial.setting(dial.mhz_at(51.0));
        const auto map = SweepMap::open("", even_chance(), dial, setting);
        ASSERT_TRUE(map.ok()) << map.error().message;
        EXPECT_TRUE(map->keep().ok());
        const auto next = map->next_stretch();
        ASSERT_TRUE(next.ok()) << band << next.error().message;
        ASSERT_TRUE(next->has_value());
        EXPECT_LT((*next)->from_div, 51.0);
        EXPECT_GT((*next)->to_div, 51.0);
    }
}

TEST(SweepMap, IsKeptBetweenSweepsAndOfOneFrequency) {
    const std::string file = fresh_file("skedlark_sweep_map_test.json");
    const auto dial = *dial::Dial::create(test::mountain_set(), "2");
    const auto setting = *dial.setting(dial.mhz_at(51.0));
    auto map = SweepMap::open(file, even_chance(), dial, setting);
    ASSERT_TRUE(map.ok());
    auto sweep = Sweep::create(dial, *dial::Motion::paced(50.0, 52.0, 60.0, 0.1));
    ASSERT_TRUE(sweep.ok());
    std::vector<float> audio(60 * 8000);
    std::uint32_t state = 1;
    for (float& sample : audio) {
        state = state * 1664525U + 1013904223U;
        sample = static_cast<float>(state >> 8) / 16777216.0F - 0.5F;
    }
    sweep->process(audio);
    sweep->finish();
    ASSERT_TRUE(map->update(*sweep, 60.0).ok());
    ASSERT_TRUE(map->keep().ok());
    const auto again = SweepMap::open(file, even_chance(), dial, setting);
    ASSERT_TRUE(again.ok());
    EXPECT_EQ(again->map().passes(), 1);
    EXPECT_NEAR(again->map().chance_so_far(), map->map().chance_so_far(), 1e-9);
    EXPECT_GT(again->map().chance_so_far(), 0.1);
    const auto other = *dial.setting(dial.mhz_at(45.0));
    EXPECT_FALSE(SweepMap::open(file, even_chance(), dial, other).ok());
    std::filesystem::remove(file);
}

}  // namespace
}  // namespace skedlark::watch
