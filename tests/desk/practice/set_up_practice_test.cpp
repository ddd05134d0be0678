#include "gui/practice/set_up_practice.h"

#include <gtest/gtest.h>

#include "dsp/dial/receiver_file.h"
#include "dsp/station/plan_reader.h"
#include "tests/desk/practice/folder.h"

namespace skedlark::gui {
namespace {

class SetUpPracticeTest : public ::testing::Test {
 protected:
    void begin(std::uint64_t seed = 1) {
        const auto plan = station::read_plan(std::string(EXAMPLES) + "/hut-net.toml");
        const auto receiver = dial::read_receiver(std::string(EXAMPLES) + "/saddle-hut.toml");
        ASSERT_TRUE(plan.ok() && receiver.ok());
        ASSERT_TRUE(drill_.begin(*plan, *receiver, {}, {}, seed).ok());
    }
    TestFolder folder_;
    PracticeLog log_{folder_.path("log.db")};
    SetUpPractice drill_{log_};
};

TEST_F(SetUpPracticeTest, FromTheQuestionsToTheMessage) {
    log_.set_who("Ann");
    begin();
    EXPECT_EQ(drill_.phase(), SetUpPhase::asking);
    EXPECT_FALSE(drill_.audio());
    ASSERT_TRUE(drill_.answer({"", 50.0, "", ""}, 10.0).ok());
    EXPECT_EQ(drill_.phase(), SetUpPhase::sweeping);
    EXPECT_EQ(drill_.marks().size(), 4U);
    EXPECT_NE(drill_.answer_words().find("WRONG"), std::string::npos);
    EXPECT_EQ(drill_.division(), 0.0);  // on no band: from the end of the scale
    EXPECT_NE(drill_.found(20.0).find("not it"), std::string::npos);
    EXPECT_EQ(drill_.phase(), SetUpPhase::sweeping);
    drill_.turn_by(drill_.dial()->base_division() - drill_.division() + 0.02);
    EXPECT_NE(drill_.found(30.0).find("not at the listening pitch"), std::string::npos);
    drill_.turn_by(-0.02);
    std::vector<float> piece(800);
    ASSERT_TRUE(drill_.audio());
    EXPECT_EQ(drill_.audio()(piece), 800U);
    const std::string said = drill_.found(70.0);
    EXPECT_NE(said.find("found after 60 s"), std::string::npos) << said;
    EXPECT_EQ(drill_.phase(), SetUpPhase::copying);
    EXPECT_FALSE(drill_.mark("", {}).ok());
    ASSERT_TRUE(drill_.mark("EEEEE", {}).ok());
    EXPECT_EQ(drill_.phase(), SetUpPhase::marked);
    EXPECT_NE(drill_.result_words(60).find("2 other stations"), std::string::npos)
        << drill_.result_words(60);
    EXPECT_EQ(log_.record().copied, 1);
    EXPECT_TRUE(log_.record().levels.empty());  // its pace is the base's, no level of practice
    begin(2);
    EXPECT_EQ(drill_.phase(), SetUpPhase::asking);
}

TEST_F(SetUpPracticeTest, TheDialBeginsWhereTheTraineeSays) {
    int right_band = 0;
    for (std::uint64_t seed = 1; seed < 20; ++seed) {
        begin(seed);
        ASSERT_TRUE(drill_.answer({"2", 33.25, "", ""}, 0.0).ok());
        // On another band than the frequency's the division means nothing.
        EXPECT_EQ(drill_.division(), drill_.band() == "2" ? 33.25 : 0.0) << drill_.task_words();
        right_band += drill_.band() == "2" ? 1 : 0;
    }
    EXPECT_GT(right_band, 0);
    EXPECT_LT(right_band, 19);
}

}  // namespace
}  // namespace skedlark::gui
