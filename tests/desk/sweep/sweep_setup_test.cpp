#include "gui/sweep/sweep_setup.h"

#include <gtest/gtest.h>

#include "dsp/dial/receiver_file.h"

namespace skedlark::gui {
namespace {

dial::Receiver saddle_hut() { return *dial::read_receiver(EXAMPLES "/saddle-hut.toml"); }
dial::Dial band_2() { return *dial::Dial::create(saddle_hut(), "2"); }

SweepSetup from_42_to_44() {
    SweepSetup setup;
    setup.band = "2";
    setup.from_div = 42.0;
    setup.to_div = 44.0;
    return setup;
}

TEST(SweepSetup, PaceInDivisionsIsThatOfThePitch) {
    const auto dial = band_2();
    SweepSetup setup = from_42_to_44();
    setup.rate_khz_per_s = 1.0;
    // A kilohertz a second is so many divisions a minute as the chart has kilohertz to a division.
    EXPECT_NEAR(div_per_min(setup, dial), 60.0 / std::abs(dial.khz_per_div(43.0)), 1e-9);
    EXPECT_NEAR(khz_per_s(div_per_min(setup, dial), setup, dial), 1.0, 1e-12);
    const auto motion = motion_of(setup, dial, std::nullopt);
    ASSERT_TRUE(motion.ok());
    EXPECT_NEAR(motion->marks().back().at_s, 2.0 * std::abs(dial.khz_per_div(43.0)), 1e-6);
}

TEST(SweepSetup, OverAFileItLastsAsLongAsTheFile) {
    SweepSetup setup = from_42_to_44();
    setup.way = SweepWay::over_file;
    EXPECT_DOUBLE_EQ(motion_of(setup, band_2(), 56.0)->marks().back().at_s, 56.0);
    EXPECT_FALSE(motion_of(setup, band_2(), std::nullopt).ok());
}

TEST(SweepSetup, WrongValuesAreNamedWithWhatIsAllowed) {
    SweepSetup setup = from_42_to_44();
    setup.to_div = 120.0;
    Status wrong = check_setup(setup, band_2());
    ASSERT_FALSE(wrong.ok());
    EXPECT_EQ(wrong.error().message, "To: 120, allowed: 0 to 100 divisions");
    setup = from_42_to_44();
    setup.to_div = 42.0;
    EXPECT_FALSE(check_setup(setup, band_2()).ok());
    setup = from_42_to_44();
    setup.rate_khz_per_s = 0.0;
    EXPECT_FALSE(check_setup(setup, band_2()).ok());
    EXPECT_DOUBLE_EQ(*read_field("From", "42,5", 0.0, 100.0), 42.5);
    const auto words = read_field("From", "forty", 0.0, 100.0);
    ASSERT_FALSE(words.ok());
    EXPECT_EQ(words.error().message, "From: 'forty', allowed: 0 to 100");
}

TEST(SweepSetup, OffersTheFinestBandAboutTheSettingAtASafePace) {
    const auto receiver = saddle_hut();
    const auto offered = offered_for(3.57, receiver, {}, {});
    ASSERT_TRUE(offered.ok());
    EXPECT_EQ(offered->band, "2");
    const auto setting = *band_2().setting(3.57);
    EXPECT_LT(offered->from_div, setting.div - 1.9);
    EXPECT_GT(offered->to_div, setting.div + 1.9);
    const auto chance = usual_chance(receiver);
    ASSERT_TRUE(chance.ok());
    const auto fastest = chance->fastest_with(0.9);
    ASSERT_TRUE(fastest.has_value());
    EXPECT_LE(1000.0 * offered->rate_khz_per_s, *fastest + 10.0);
    EXPECT_FALSE(offered_for(30.0, receiver, {}, {}).ok());
}

}  // namespace
}  // namespace skedlark::gui
