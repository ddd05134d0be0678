#include "gui/sweep/sweep_setup.h"

#include <gtest/gtest.h>

#include <cmath>

#include "dsp/dial/receiver_file.h"

namespace skedlark::gui {
namespace {

class SweepSetupTest : public ::testing::Test {
 protected:
    dial::Receiver receiver_ = *dial::read_receiver(EXAMPLE_CHART);
    dial::Dial dial_ = *dial::Dial::create(receiver_, "2");
};

TEST_F(SweepSetupTest, SaysWhichFieldIsWrong) {
    SweepSetup setup{.from_div = 42.0, .to_div = 44.0, .div_per_min = 2.0};
    EXPECT_TRUE(check(setup, dial_).ok());
    setup.to_div = 142.0;
    EXPECT_EQ(check(setup, dial_).error().message, "To: 142, allowed: 0 to 100");
    setup.to_div = 42.0;
    EXPECT_EQ(check(setup, dial_).error().message, "To: 42, allowed: another division than From");
    setup.to_div = 44.0;
    setup.div_per_min = 0.0;
    EXPECT_FALSE(check(setup, dial_).ok());
    setup = {.way = DialWay::stepped, .from_div = 42.0, .to_div = 44.0, .rest_s = 1.0};
    EXPECT_EQ(check(setup, dial_).error().message, "Rest, s: 1, allowed: 6 to 3600");
}

TEST_F(SweepSetupTest, TheLengthOfTheFileIsThePaceWhereNoneIsNamed) {
    SweepSetup setup{.from_div = 42.0, .to_div = 44.0};
    EXPECT_FALSE(motion_of(setup, dial_, std::nullopt).ok());
    EXPECT_DOUBLE_EQ(motion_of(setup, dial_, 56.0)->marks().back().at_s, 56.0);
    setup.div_per_min = 4.0;
    EXPECT_DOUBLE_EQ(motion_of(setup, dial_, 56.0)->marks().back().at_s, 30.0);
}

TEST_F(SweepSetupTest, PacesAgreeBothWays) {
    const double per_min = div_per_min(dial_, 43.0, 1.0);
    // The chart from 36 to 47 rises by 303 kHz: 27.5 kHz a division, about.
    EXPECT_NEAR(per_min, 60.0 / 27.5, 0.15);
    EXPECT_NEAR(khz_per_s(dial_, 43.0, per_min), 1.0, 1e-12);
    const auto safe = safe_khz_per_s(dial_, 3.765);
    ASSERT_TRUE(safe.has_value());
    EXPECT_GT(*safe, 0.1);
    EXPECT_LT(*safe, 20.0);
}

TEST_F(SweepSetupTest, TheFirstStretchIsTheCardsOrTheDials) {
    station::Leg leg;
    leg.receive_khz = 3765.0;
    const auto by_dial = first_stretch(leg, receiver_);
    ASSERT_TRUE(by_dial.has_value());
    EXPECT_EQ(by_dial->band, "2");
    EXPECT_NEAR(by_dial->to_div - by_dial->from_div, 4.0, 1e-9);
    EXPECT_NEAR(0.5 * (by_dial->to_div + by_dial->from_div), dial_.setting(3.765)->div, 1e-9);
    leg.dial = station::DialSetting{"2", 41.0, 40.5, 41.5};
    EXPECT_EQ(first_stretch(leg, receiver_)->from_div, 40.5);
    leg.dial = {};
    leg.receive_khz = 30000.0;
    EXPECT_FALSE(first_stretch(leg, receiver_).has_value());
}

TEST_F(SweepSetupTest, AMapsFileHasAPlainName) {
    EXPECT_EQ(map_file_name(dial_, 3.765), "saddle-hut-set_2_3765.0.json");
}

}  // namespace
}  // namespace skedlark::gui
