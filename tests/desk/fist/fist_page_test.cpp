// The page by its keys, drawn off the screen, on made-up sendings.
#include "gui/fist/fist_page.h"

#include <gtest/gtest.h>

#include <QApplication>
#include <QScrollArea>
#include <QTemporaryDir>
#include <QTest>

#include "dsp/morse/timing.h"
#include "tests/desk/fist/sendings.h"

namespace skedlark::gui {
namespace {

const std::string kText = "QVA7 DE QXB2 [BT] ALL WELL AT THE HUT SNOW ON THE PASS [AR]";
const std::string kWrong = "QVA7 DE QXB2 [BT] ALL WELL AT THE HAT SNOW ON THE PASS [AR]";

class OnFistPage : public testing::Test {
 protected:
    OnFistPage()
        : settings_(home_.filePath("desk.ini")),
          desk_(hub_, settings_),
          page_(desk_, nullptr, folder_.path("log.db")) {
        page_.on_play = [this](std::vector<float> audio) { played_ = std::move(audio); };
        page_.resize(1024, 500);
        page_.show();
        EXPECT_TRUE(QTest::qWaitForWindowExposed(&page_));
        refresh();
    }
    ~OnFistPage() override { hub_.stop(); }
    void refresh() {
        page_.refresh(true);
        QApplication::processEvents();
    }
    template <typename Until>
    bool wait_until(Until until, int most_ms = 40000) {
        return QTest::qWaitFor(
            [&] {
                page_.refresh(true);
                return until();
            },
            most_ms);
    }
    template <typename T>
    T* named(const char* accessible_name) {
        for (T* widget : page_.findChildren<T*>()) {
            if (widget->accessibleName() == QLatin1String(accessible_name)) return widget;
        }
        ADD_FAILURE() << "no " << accessible_name;
        return nullptr;
    }
    void type(const char* field, const std::string& text) {
        auto* edit = named<QLineEdit>(field);
        edit->setFocus();
        edit->selectAll();
        QTest::keyClicks(edit, QString::fromStdString(text));
        QTest::keyClick(edit, Qt::Key_Enter);
    }
    void type_text(const std::string& text) {
        auto* edit = named<QPlainTextEdit>("Text meant");
        edit->setFocus();
        edit->selectAll();
        QTest::keyClicks(edit, QString::fromStdString(text));
    }
    QString words(const char* label) { return named<QLabel>(label)->text(); }
    bool graded() {
        return wait_until([this] {
            return page_.model().phase() == FistPhase::graded ||
                   page_.model().phase() == FistPhase::failed;
        });
    }
    RowTable* faults() { return named<RowTable>("Faults; Return plays the place"); }

    log::TempFolder folder_;
    QTemporaryDir home_;
    AudioHub hub_;
    Settings settings_;
    DeskState desk_;
    FistPage page_;
    std::vector<float> played_;
};

TEST_F(OnFistPage, AFileIsGradedByKeysAndItsFaultsAreHeardAndSeen) {
    type("Who is sending; attempts are kept under this name", "Ann");
    type_text(kText);
    type("Sound file to grade", write_wav(folder_, "a.wav", {sending(kWrong)}));
    ASSERT_TRUE(graded());
    refresh();
    EXPECT_TRUE(words("How the attempt goes").contains("Kept for Ann"));
    EXPECT_TRUE(words("Number of faults").contains("Against the text: 1"));
    ASSERT_EQ(faults()->rowCount(), 1);
    EXPECT_EQ(faults()->item(0, 1)->text(), "text");
    EXPECT_TRUE(faults()->item(0, 2)->text().contains("\"U\" sounded like \"A\""));
    faults()->setFocus();
    QTest::keyClick(faults(), Qt::Key_Return);
    const KeyingStrip& strip = page_.findChild<StripView*>()->strip();
    ASSERT_TRUE(strip.has_place);
    const double wanted_s = strip.place.to_s - strip.place.from_s + 2.0 * kHeardBesideS;
    EXPECT_NEAR(static_cast<double>(played_.size()) / 8000.0, wanted_s, 0.01);
    int faulty = 0;
    for (const StripMark& mark : strip.marks) faulty += mark.faulty ? 1 : 0;
    EXPECT_EQ(faulty, 2) << "A as sent";
    // What was heard last is heard again from anywhere on the page.
    played_.clear();
    QTest::keyClick(named<QPlainTextEdit>("Text meant"), Qt::Key_P, Qt::ControlModifier);
    EXPECT_FALSE(played_.empty());
    EXPECT_EQ(named<RowTable>("Characters, the hardest first")->item(0, 0)->text(), "U");
    EXPECT_EQ(named<RowTable>("Parts of the score")->rowCount(), 5);
    EXPECT_GT(page_.findChild<RhythmChart*>()->speed().count(), 2);
    ASSERT_TRUE(wait_until([this] { return page_.findChild<TrendPanel*>()->line().count() == 1; }));
    EXPECT_EQ(QApplication::activeModalWidget(), nullptr);
}

// ITU-R M.1677-1: dashed lines at 1 and 3, at 1, 3 and 7.
TEST_F(OnFistPage, TheStandardsLengthsStandInTheCharts) {
    std::vector<std::vector<double>> marks;
    for (const LengthChart* chart : page_.findChildren<LengthChart*>()) {
        marks.emplace_back();
        for (const QLineSeries* line : chart->standard()) marks.back().push_back(line->at(0).x());
    }
    ASSERT_EQ(marks.size(), 2U);
    EXPECT_EQ(marks[0], (std::vector<double>{1.0, 3.0}));
    EXPECT_EQ(marks[1], (std::vector<double>{1.0, 3.0, 7.0}));
}

TEST_F(OnFistPage, AnAttemptIsBegunAndEndedByKeys) {
    InputChoice choice;
    choice.live = false;
    choice.file = write_wav(folder_, "b.wav", {sending(kText + " " + kText)});
    choice.pace = 4.0;
    page_.setFocus();
    QTest::keyClick(&page_, Qt::Key_Return, Qt::ControlModifier);
    refresh();
    EXPECT_TRUE(words("How the attempt goes").contains("Begins with the first sound"));
    hub_.open(choice);
    ASSERT_TRUE(wait_until([this] { return page_.model().live().grade.has_value(); }));
    refresh();
    EXPECT_TRUE(words("Figures of the sending").contains("Score"));
    EXPECT_TRUE(words("How the attempt goes").contains("so far"));
    QTest::keyClick(&page_, Qt::Key_Return, Qt::ControlModifier);
    ASSERT_TRUE(graded());
    EXPECT_EQ(page_.model().phase(), FistPhase::graded);
    EXPECT_NEAR(*page_.pitch_hz(), 700.0, 1.0);
    EXPECT_EQ(named<QPushButton>("Begin or end an attempt")->text(), "Begin (Ctrl+Return)");
}

TEST_F(OnFistPage, OneOfTwoSendersIsChosenByKeys) {
    type("Sound file to grade",
         write_wav(folder_, "c.wav", {two_senders(kText, "VVV DE QZZ9 QZZ9 VVV VVV VVV")}));
    ASSERT_TRUE(graded());
    refresh();
    auto* sender = named<QComboBox>("Sender that is graded, by its pitch");
    ASSERT_EQ(sender->count(), 2);
    EXPECT_TRUE(words("How the attempt goes").contains("2 senders at once"));
    sender->setFocus();
    QTest::keyClick(sender, Qt::Key_Down);
    ASSERT_TRUE(wait_until([this] {
        return page_.model().phase() == FistPhase::graded && *page_.pitch_hz() > 900.0;
    }));
}

TEST_F(OnFistPage, WhatIsWrongIsToldInPlace) {
    type_text("HUT # 3");
    EXPECT_TRUE(words("What is wrong with the text").contains("\"#\" at line 1, character 5"));
    type("Text file to read", folder_.put("latin.txt", "H\xFCTTE"));
    EXPECT_TRUE(words("What is wrong with the text").contains("byte 0xFC at line 1, character 2"));
    type("Text file to read", folder_.put("good.txt", "ALL WELL\n"));
    EXPECT_EQ(words("What is wrong with the text"), "");
    EXPECT_EQ(named<QPlainTextEdit>("Text meant")->toPlainText(), "ALL WELL");
    type("Sound file to grade", folder_.path("none.wav"));
    ASSERT_TRUE(graded());
    refresh();
    EXPECT_TRUE(words("How the attempt goes").contains("none.wav"));
    type("Sound file to grade", write_wav(folder_, "n.wav", {std::vector<float>(80000, 0.0F)}));
    ASSERT_TRUE(wait_until(
        [this] { return words("How the attempt goes").contains("no keyed tone is in it"); }));
    QTest::keyClick(named<QPushButton>("Take the fixed test text"), Qt::Key_Space);
    EXPECT_TRUE(named<QPlainTextEdit>("Text meant")->toPlainText().startsWith("[KA] QVA7"));
    EXPECT_EQ(QApplication::activeModalWidget(), nullptr);
}

// Practice is a tab that has the page to itself; what is sent there is graded, shown and kept as any
// other sending.
TEST_F(OnFistPage, ASendingOfPracticeIsShownAtLength) {
    type("Who is sending; attempts are kept under this name", "Ann");
    auto* practice = page_.findChild<PracticePanel*>();
    ASSERT_NE(practice, nullptr);
    named<QTabWidget>("What is shown of the sending")->setCurrentWidget(practice);
    EXPECT_TRUE(practice->isVisible());
    EXPECT_FALSE(faults()->isVisible());
    QTest::keyClick(&page_, Qt::Key_F6);
    const std::string text = practice->sending().drill().text();
    ASSERT_FALSE(text.empty());
    KeyPad& pad = practice->sending().pad();
    double now_s = 100.0;
    pad.now_s = [&now_s] { return now_s; };
    const auto elements = morse::timed_elements(text);
    ASSERT_TRUE(elements.ok());
    for (const morse::TimedElement& one : *elements) {
        if (morse::is_mark(one.kind)) QTest::keyPress(&pad, Qt::Key_Space);
        now_s += 0.08 * one.units;
        if (morse::is_mark(one.kind)) QTest::keyRelease(&pad, Qt::Key_Space);
    }
    QTest::keyClick(&page_, Qt::Key_F6);
    ASSERT_TRUE(graded());
    ASSERT_EQ(page_.model().phase(), FistPhase::graded);
    EXPECT_GT(page_.model().grade()->score.total, 99.0);
    EXPECT_EQ(page_.model().grade()->text(), text);
    named<QTabWidget>("What is shown of the sending")->setCurrentIndex(0);
    EXPECT_TRUE(faults()->isVisible());
    EXPECT_EQ(named<QPlainTextEdit>("Text meant")->toPlainText().toStdString(), text);
    EXPECT_TRUE(wait_until([this] { return !page_.model().weeks().empty(); }));
    EXPECT_EQ(page_.model().weeks().front().attempts, 1);
    pad.now_s = steady_now_s;
}

TEST_F(OnFistPage, FitsASmallScreenAndEveryPartIsInTheTheme) {
    const auto* area = page_.findChild<QScrollArea*>();
    EXPECT_LE(area->widget()->height(), 500) << "scrolled at normal type";
    EXPECT_LE(area->widget()->width(), 1024);
    settings_.set("look/type_percent", 170.0);
    page_.restyle();
    refresh();
    EXPECT_LE(area->widget()->width(), 1024) << "large type makes it longer, not wider";
    settings_.set("look/type_percent", 100.0);
    settings_.set("look/dark", true);
    page_.restyle();
    refresh();
    const QImage shot = page_.findChild<StripView*>()->grab().toImage();
    EXPECT_EQ(shot.pixelColor(3, shot.height() - 3), desk_.theme().paper());
}

}  // namespace
}  // namespace skedlark::gui
