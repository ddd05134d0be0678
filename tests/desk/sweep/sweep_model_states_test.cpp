// What the model says and keeps, its listening part given quiet audio by hand.
#include <gtest/gtest.h>

#include "dsp/dial/receiver_file.h"
#include "gui/sweep/sweep_model.h"

namespace skedlark::gui {
namespace {

class Quiet : public testing::Test {
 protected:
    Quiet() {
        model_.set_receiver(*dial::read_receiver(EXAMPLES "/saddle-hut.toml"), {});
        SweepSetup setup = model_.setup();
        setup.band = "2";
        setup.from_div = 42.0;
        setup.to_div = 44.0;
        setup.wanted_mhz = 3.8;
        EXPECT_TRUE(model_.set_setup(setup).ok());
    }
    void set(SweepWay way) {
        SweepSetup setup = model_.setup();
        setup.way = way;
        EXPECT_TRUE(model_.set_setup(setup).ok());
    }
    void hear(double seconds) {
        const std::vector<float> audio(static_cast<std::size_t>(seconds * kWorkRateHz), 1e-3F);
        model_.user()->take({audio}, at_);
        at_ += static_cast<FrameIndex>(audio.size());
        model_.refresh();
    }

    SweepModel model_;
    FrameIndex at_ = 0;
};

TEST_F(Quiet, StepsRestAndTurnOn) {
    set(SweepWay::stepped);
    ASSERT_TRUE(model_.start(0.0).ok());
    model_.user()->begin({});
    hear(1.0);
    EXPECT_TRUE(model_.dial_now().at_rest);
    EXPECT_DOUBLE_EQ(model_.dial_now().div, 42.0);
    EXPECT_NEAR(*model_.dial_now().next, 42.1, 1e-9);
    EXPECT_EQ(model_.state_words().substr(0, 5), "Rest.");
    EXPECT_FALSE(model_.take_division_due());
    hear(20.0);  // rests last 20 s, the way to the next one 2 s
    EXPECT_FALSE(model_.dial_now().at_rest);
    EXPECT_EQ(model_.state_words().substr(0, 16), "Turn on to 42.10");
    hear(2.0);
    EXPECT_TRUE(model_.dial_now().at_rest);
    EXPECT_NEAR(model_.dial_now().div, 42.1, 1e-9);
    EXPECT_TRUE(model_.take_division_due());
}

TEST_F(Quiet, BetweenMarksTheHandIsLedAtThePaceAimedAt) {
    set(SweepWay::marked);
    ASSERT_TRUE(model_.start(5.0).ok());
    model_.user()->begin({});
    hear(1.0);
    EXPECT_DOUBLE_EQ(model_.dial_now().div, 42.0);
    ASSERT_TRUE(model_.mark());
    hear(10.0);
    const double per_s = div_per_min(model_.setup(), *model_.dial()) / 60.0;
    EXPECT_NEAR(model_.dial_now().div, 42.0 + 10.0 * per_s, 1e-6);
    hear(60.0);
    EXPECT_DOUBLE_EQ(model_.dial_now().div, 43.0);  // waits there for its mark
    EXPECT_TRUE(model_.take_division_due());
    EXPECT_NE(model_.state_words().find("Mark 43"), std::string::npos);
    model_.stop();
    hear(0.1);
    EXPECT_NE(model_.state_words().find("fewer than two"), std::string::npos);
}

TEST_F(Quiet, APassThatHeardNothingLowersTheCurveAndTheNextStretchIsTaken) {
    set(SweepWay::paced);
    const auto highest = [&] {
        double most = 0.0;
        for (const CurvePoint& point : model_.curve()) most = std::max(most, point.per_div);
        return most;
    };
    const double before = highest();
    ASSERT_GT(before, 0.0);
    ASSERT_TRUE(model_.start(0.0).ok());
    model_.user()->begin({});
    hear(80.0);
    ASSERT_EQ(model_.now().phase, SweepPhase::done);
    EXPECT_LT(highest(), before);
    ASSERT_FALSE(model_.next_words().empty());
    ASSERT_TRUE(model_.take_next_stretch());
    EXPECT_NE(model_.setup().from_div, 42.0);
}

TEST_F(Quiet, ACorrectedReceiverKeepsTheStretchAndAnotherOneDoesNot) {
    auto receiver = *model_.receiver();
    model_.set_receiver(receiver, {{3.8, 42.95}});
    EXPECT_DOUBLE_EQ(model_.setup().from_div, 42.0);
    EXPECT_EQ(model_.setup().wanted_mhz, 3.8);
    EXPECT_FALSE(model_.curve().empty());
    receiver.name = "Another set";
    model_.set_receiver(receiver, {});
    EXPECT_DOUBLE_EQ(model_.setup().from_div, receiver.from_div);
    EXPECT_FALSE(model_.setup().wanted_mhz);
    EXPECT_TRUE(model_.curve().empty());
}

}  // namespace
}  // namespace skedlark::gui
