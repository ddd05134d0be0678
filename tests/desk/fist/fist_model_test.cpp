#include "gui/fist/fist_model.h"

#include <chrono>
#include <thread>

#include "dsp/fist/test_text.h"
#include "dsp/log/log_book.h"
#include "dsp/synth/keyer.h"
#include "tests/desk/fist/sendings.h"

namespace skedlark::gui {
namespace {

const std::string kText = "QVA7 DE QXB2 [BT] ALL WELL AT THE HUT SNOW ON THE PASS [AR]";
const UtcTime kNow = *parse_utc("2026-11-29T18:00Z");

class OnFistModel : public testing::Test {
 protected:
    OnFistModel() : model_(folder_.path("log.db")) {}
    bool wait_until(const std::function<bool()>& until) {
        for (int i = 0; i < 4000 && !until(); ++i) {
            std::this_thread::sleep_for(std::chrono::milliseconds(5));
            model_.refresh(kNow);
        }
        return until();
    }
    bool graded() {
        return wait_until([this] {
            return model_.phase() == FistPhase::graded || model_.phase() == FistPhase::failed;
        });
    }
    void send(const std::vector<float>& audio) {
        model_.user()->begin({.name = "set"});
        model_.start();
        hand_on(*model_.user(), audio);
    }
    std::vector<log::Entry> kept() {
        const auto book = log::LogBook::open(folder_.path("log.db"), log::Access::read);
        return book ? *book->find({}) : std::vector<log::Entry>{};
    }
    log::TempFolder folder_;
    FistModel model_;
};

TEST_F(OnFistModel, AnAttemptFromStartToGradeAndHistory) {
    EXPECT_NE(model_.state_words().find("Ready"), std::string::npos);
    model_.set_who("Ann");
    ASSERT_TRUE(model_.set_text(kText, "text"));
    send(sending(kText));
    ASSERT_TRUE(wait_until([this] { return model_.live().grade.has_value(); }));
    EXPECT_EQ(model_.phase(), FistPhase::measuring);
    EXPECT_NE(model_.state_words().find("score so far"), std::string::npos);
    EXPECT_NE(model_.grade(), nullptr);
    model_.stop();
    ASSERT_TRUE(graded());
    EXPECT_EQ(model_.phase(), FistPhase::graded) << model_.state_words();
    ASSERT_NE(model_.grade(), nullptr);
    EXPECT_TRUE(model_.grade()->right());
    EXPECT_NE(model_.state_words().find("Kept for Ann"), std::string::npos) << model_.state_words();
    ASSERT_TRUE(wait_until([this] { return model_.weeks().size() == 1; }));
    EXPECT_EQ(model_.weeks()[0].monday, *parse_utc("2026-11-23"));
    EXPECT_EQ(model_.history_words(), "Ann: 1 attempts in 1 weeks.");
    // Graded against another text, it stays one attempt.
    ASSERT_TRUE(model_.set_text("QVA7 DE QXB2", "text"));
    model_.grade_again();
    ASSERT_TRUE(graded());
    EXPECT_FALSE(model_.grade()->right());
    ASSERT_EQ(kept().size(), 1U);
    EXPECT_EQ(kept()[0].outcome, "errors");
}

TEST_F(OnFistModel, NoKeyingIsSaid) {
    send(std::vector<float>(15 * 8000, 0.0F));
    ASSERT_TRUE(wait_until(
        [this] { return model_.state_words().find("No keying heard yet") != std::string::npos; }));
    model_.stop();
    ASSERT_TRUE(graded());
    EXPECT_EQ(model_.state_words(), "Not graded: no keyed tone is in it.");
    EXPECT_EQ(model_.grade(), nullptr);
    EXPECT_TRUE(kept().empty());
}

TEST_F(OnFistModel, TwoSendersAreToldAndOneIsChosen) {
    model_.set_who("Ann");
    send(two_senders(kText, "VVV VVV DE QZZ9 QZZ9 VVV VVV VVV"));
    model_.user()->end();
    ASSERT_TRUE(graded());
    EXPECT_NE(model_.state_words().find("2 senders at once"), std::string::npos)
        << model_.state_words();
    ASSERT_EQ(model_.senders().size(), 2U);
    model_.choose_sender(model_.senders()[1].pitch_hz);
    ASSERT_TRUE(graded());
    EXPECT_NEAR(model_.grade()->pitch_hz, 1000.0, 5.0);
    EXPECT_EQ(model_.grade()->text(), "VVV VVV DE QZZ9 QZZ9 VVV VVV VVV");
    EXPECT_EQ(kept().size(), 1U);
}

TEST_F(OnFistModel, ATextOutsideTheCodeIsNamedAndTheOldOneStays) {
    ASSERT_TRUE(model_.set_text(kText, "text"));
    const auto before = model_.text().size();
    const Status status = model_.set_text("HUT # 3", "text");
    ASSERT_FALSE(status);
    EXPECT_NE(status.error().message.find("\"#\" at line 1, character 5"), std::string::npos);
    EXPECT_EQ(model_.text().size(), before);
    ASSERT_TRUE(model_.set_text(" \n", "text"));
    EXPECT_TRUE(model_.text().empty());
}

TEST_F(OnFistModel, AFileAndOneThatIsNone) {
    model_.grade_file({write_wav(folder_, "a.wav", {sending(kText)}), 1, 0});
    EXPECT_EQ(model_.phase(), FistPhase::grading);
    ASSERT_TRUE(graded());
    EXPECT_EQ(model_.grade()->text(), kText);
    EXPECT_NE(model_.state_words().find("Not kept: no name"), std::string::npos);
    model_.grade_file({folder_.path("none.wav"), 1, 0});
    ASSERT_TRUE(graded());
    EXPECT_NE(model_.state_words().find("none.wav"), std::string::npos);
}

TEST_F(OnFistModel, TheMarksOfAKey) {
    model_.set_who("Ann");
    ASSERT_TRUE(model_.set_text(fist::kTestText, "test"));
    synth::Keyer keyer({16.0, 0.0, *synth::fist_by_name("machine")}, 1);
    synth::Keyed keyed;
    ASSERT_TRUE(keyer.send(std::string(fist::kTestText), 1.0, keyed));
    std::vector<fist::KeyMark> marks;
    for (const synth::Mark& mark : keyed.marks) marks.push_back({mark.on_s, mark.off_s});
    model_.refresh(kNow);
    model_.grade_key(marks, 0.001);
    ASSERT_TRUE(graded());
    EXPECT_TRUE(model_.grade()->right()) << model_.state_words();
    ASSERT_EQ(kept().size(), 1U);
    EXPECT_EQ(log::measured(kept()[0], "fixed_test"), 1.0);
    EXPECT_EQ(kept()[0].started, kNow);
}

TEST_F(OnFistModel, ALogThatCannotBeWrittenIsSaid) {
    FistModel other(folder_.put("broken.db", std::string("SQLite format 3\0 and no more", 30)));
    other.set_who("Ann");
    other.grade_file({write_wav(folder_, "a.wav", {sending(kText)}), 1, 0});
    for (int i = 0; i < 4000 && other.phase() != FistPhase::graded; ++i) {
        std::this_thread::sleep_for(std::chrono::milliseconds(5));
        other.refresh(kNow);
    }
    EXPECT_NE(other.state_words().find("Not kept in the log"), std::string::npos)
        << other.state_words();
}

TEST_F(OnFistModel, StoppedBeforeAnythingCameItIsAsBefore) {
    model_.start();
    EXPECT_EQ(model_.phase(), FistPhase::waiting);
    model_.stop();
    model_.refresh(kNow);
    EXPECT_EQ(model_.phase(), FistPhase::idle);
}

}  // namespace
}  // namespace skedlark::gui
