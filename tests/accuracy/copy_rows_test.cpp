#include "tests/accuracy/copy_rows.h"

#include <gtest/gtest.h>

#include <set>

namespace skedlark::accuracy {
namespace {

TEST(CopyRows, EachMakesAValidSceneOfTheLengthAsked) {
    std::vector<CopyRow> rows = curve_rows();
    for (CopyRow& row : channel_rows()) rows.push_back(std::move(row));
    std::set<std::string> names;
    for (const CopyRow& row : rows) {
        EXPECT_TRUE(names.insert(row.name).second) << row.name;
        EXPECT_FALSE(row.reach_db.empty());
        const synth::SceneConfig scene = scene_of(row, 0.0, 120, 5);
        EXPECT_TRUE(synth::check(scene).ok()) << row.name;
        EXPECT_EQ(scene.wanted.transmissions.front().text.size(), 119U);
    }
}

TEST(CopyRows, SeedsGiveOtherTextsPitchesAndLevels) {
    const CopyRow row = curve_rows().front();
    const auto a = scene_of(row, 0.0, 60, 1000);
    const auto b = scene_of(row, 0.0, 60, 1001);
    EXPECT_NE(a.wanted.transmissions.front().text, b.wanted.transmissions.front().text);
    EXPECT_NE(a.beat.pitch_hz, b.beat.pitch_hz);
    EXPECT_NE(a.level_dbfs, b.level_dbfs);
    EXPECT_NE(a.seed, b.seed);
    EXPECT_EQ(scene_of(row, 0.0, 60, 1000).beat.pitch_hz, a.beat.pitch_hz);
}

}  // namespace
}  // namespace skedlark::accuracy
