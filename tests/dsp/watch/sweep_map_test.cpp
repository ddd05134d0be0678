#include "dsp/watch/sweep_map.h"

#include <gtest/gtest.h>

#include <filesystem>

#include "tests/dsp/dial/mountain_set.h"

namespace skedlark::watch {
namespace {

dial::ChanceByRate chance() {
    return *dial::ChanceByRate::create(*dial::DetectionModel::glide_finder({}), {});
}

std::string fresh_file(const char* name) {
    const auto path = std::filesystem::temp_directory_path() / name;
    std::filesystem::remove(path);
    return path.string();
}

TEST(SweepMap, AnUnheardStretchLowersTheMapAndIsKept) {
    const auto dial = *dial::Dial::create(test::mountain_set(), "2");
    const auto setting = *dial.setting(dial.mhz_at(50.0));
    const std::string file = fresh_file("sweep_map_test.json");
    auto map = SweepMap::open(file, dial, setting, chance());
    ASSERT_TRUE(map.ok());
    const double before = map->map().chance_between(49.5, 50.5);
    const auto motion = *dial::Motion::paced(49.0, 51.0, 60.0, 0.1);
    auto sweep = *Sweep::create(dial, motion);
    sweep.process(std::vector<float>(60 * 8000, 1e-3F));
    sweep.finish();
    ASSERT_TRUE(map->update(sweep, 60.0));
    EXPECT_LT(map->map().chance_between(49.5, 50.5), before);
    EXPECT_GT(map->map().chance_so_far(), 0.0);
    const auto next = map->next_stretch();
    ASSERT_TRUE(next.ok());
    ASSERT_TRUE(next->has_value());
    EXPECT_LT((*next)->from_div, (*next)->to_div);
    ASSERT_TRUE(map->keep());
    const auto again = SweepMap::open(file, dial, setting, chance());
    ASSERT_TRUE(again.ok());
    EXPECT_EQ(again->map().passes(), 1);
    std::filesystem::remove(file);
}

TEST(SweepMap, AnotherFrequencysFileIsRefused) {
    const auto dial = *dial::Dial::create(test::mountain_set(), "2");
    const auto setting = *dial.setting(dial.mhz_at(50.0));
    const std::string file = fresh_file("sweep_map_other_test.json");
    ASSERT_TRUE(SweepMap::open(file, dial, setting, chance())->keep());
    const auto other = *dial.setting(dial.mhz_at(60.0));
    EXPECT_FALSE(SweepMap::open(file, dial, other, chance()).ok());
    std::filesystem::remove(file);
}

}  // namespace
}  // namespace skedlark::watch
