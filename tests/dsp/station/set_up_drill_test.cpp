#include "dsp/station/set_up_drill.h"

#include <gtest/gtest.h>

#include <set>

#include "dsp/dial/receiver_file.h"
#include "dsp/station/plan_reader.h"

namespace skedlark::station {
namespace {

class SetUpDrill : public ::testing::Test {
 protected:
    void SetUp() override {
        const auto plan = read_plan(std::string(EXAMPLES) + "/hut-net.toml");
        const auto receiver = dial::read_receiver(std::string(EXAMPLES) + "/saddle-hut.toml");
        ASSERT_TRUE(plan.ok() && receiver.ok());
        plan_ = *plan;
        receiver_ = *receiver;
        // 5195 kHz received on band 2 between 4.952 (80) and 5.311 MHz (91); answered on 5188 kHz,
        // twice the 2594 kHz of K2, switch at 2 (4800 to 7000 kHz): read off the two files by hand.
        task_ = {"evening, fallback 1", "QVA7", "QXB2", 5195.0,
                 find_answer(plan_, plan_.contacts[0].fallbacks[0].channel)};
    }
    std::vector<SetUpMark> marks(const SetUpAnswer& answer) const {
        return mark_set_up(task_, answer, receiver_);
    }
    Plan plan_;
    dial::Receiver receiver_;
    SetUpTask task_;
};

TEST_F(SetUpDrill, WhatTheFilesSayIsRight) {
    // Straight between the points: 80 + 11 x (5195 - 4952) / (5311 - 4952) = 87.45.
    const auto all = marks({"2", 87.45, "k2", "2"});
    ASSERT_EQ(all.size(), 4U);
    for (const SetUpMark& mark : all) EXPECT_TRUE(mark.right) << mark.said;
    EXPECT_NE(in_words(task_).find("5195 kHz and answers on 5188 kHz"), std::string::npos)
        << in_words(task_);
}

TEST_F(SetUpDrill, WhatIsWrongIsSaidWithWhatItShouldBe) {
    const auto all = marks({"2", 80.0, "K1", "1"});
    EXPECT_TRUE(all[0].right);
    EXPECT_FALSE(all[1].right);
    EXPECT_NE(all[1].said.find("too low"), std::string::npos) << all[1].said;
    EXPECT_NE(all[1].said.find("on band 2 (95 %"), std::string::npos) << all[1].said;
    EXPECT_FALSE(all[2].right);
    EXPECT_NE(all[2].said.find("2 times 2594 kHz, crystal K2"), std::string::npos) << all[2].said;
    EXPECT_FALSE(all[3].right);
    EXPECT_NE(all[3].said.find("position 2, 4800 to 7000 kHz"), std::string::npos) << all[3].said;
    const auto open = marks({});
    for (const SetUpMark& mark : open) EXPECT_FALSE(mark.right) << mark.said;
    // A right number on a band that does not hold the frequency is not right.
    EXPECT_FALSE(marks({"1", 87.45, "K2", "2"})[1].right);
}

TEST_F(SetUpDrill, TheChartsUncertaintyIsAllowedAndNoMore) {
    const auto dial = dial::Dial::create(receiver_, "2");
    const auto setting = dial->setting(5.195);
    EXPECT_TRUE(marks({"2", setting->low95_div + 0.001, "K2", "2"})[1].right);
    EXPECT_TRUE(marks({"2", setting->high95_div - 0.001, "K2", "2"})[1].right);
    EXPECT_FALSE(marks({"2", setting->low95_div - 0.1, "K2", "2"})[1].right);
    EXPECT_FALSE(marks({"2", setting->high95_div + 0.1, "K2", "2"})[1].right);
}

TEST_F(SetUpDrill, ACoarserBandIsRightButToldApart) {
    SetUpTask both = task_;
    both.receive_khz = 5400.0;  // on band 2 with 31.4 kHz to a division, on band 3 with 31.3
    const auto mark = mark_set_up(both, {"2", 93.8, "K2", "2"}, receiver_)[0];
    EXPECT_TRUE(mark.right);
    EXPECT_NE(mark.said.find("band 3 is finer"), std::string::npos) << mark.said;
}

TEST_F(SetUpDrill, EverySeedIsATaskThatCanBeDone) {
    std::set<std::string> contacts;
    for (std::uint64_t seed = 0; seed < 200; ++seed) {
        const auto task = make_set_up(plan_, receiver_, seed);
        ASSERT_TRUE(task.ok()) << task.error().message;
        contacts.insert(task->contact);
        EXPECT_TRUE(task->answer.problem.empty());
        const auto bands = dial::bands_with(receiver_, task->receive_khz / 1000.0);
        ASSERT_TRUE(bands.ok()) << task->receive_khz;
        const auto dial = dial::Dial::create(receiver_, bands->front());
        const double div = dial->setting(task->receive_khz / 1000.0)->div;
        const auto all = mark_set_up(
            *task, {bands->front(), div, task->answer.crystal->name, task->answer.band->position},
            receiver_);
        for (const SetUpMark& mark : all) EXPECT_TRUE(mark.right) << mark.said;
    }
    EXPECT_EQ(contacts.size(), 5U);  // two contacts, two fallbacks of one, invented ones
    dial::Receiver empty = receiver_;
    empty.bands.clear();
    EXPECT_FALSE(make_set_up(plan_, empty, 1).ok());
}

TEST_F(SetUpDrill, AContactThatIsOnlyListenedToNeedsNoCrystal) {
    SetUpTask listen = task_;
    listen.answer = {};
    EXPECT_TRUE(mark_set_up(listen, {"2", 87.45, "", ""}, receiver_)[2].right);
    EXPECT_TRUE(mark_set_up(listen, {"2", 87.45, "none", "none"}, receiver_)[2].right);
    EXPECT_FALSE(mark_set_up(listen, {"2", 87.45, "K1", "1"}, receiver_)[2].right);
    EXPECT_NE(in_words(listen).find("no answer"), std::string::npos);
}

}  // namespace
}  // namespace skedlark::station
