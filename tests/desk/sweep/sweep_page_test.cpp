// The page by its keys, drawn off the screen, on a recorded sweep.
#include "gui/sweep/sweep_page.h"

#include <gtest/gtest.h>

#include <QApplication>
#include <QScrollArea>
#include <QSignalSpy>
#include <QTemporaryDir>
#include <QTest>

namespace skedlark::gui {
namespace {

class OnSweepPage : public testing::Test {
 protected:
    OnSweepPage() : settings_(folder_.filePath("desk.ini")), desk_(hub_, settings_), page_(desk_) {
        page_.resize(1024, 500);
        page_.show();
        EXPECT_TRUE(QTest::qWaitForWindowExposed(&page_));
        EXPECT_TRUE(desk_.load_receiver(EXAMPLES "/saddle-hut.toml").ok());
        refresh();
    }
    ~OnSweepPage() override { hub_.stop(); }
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
    void type(const char* field, const char* text) {
        auto* edit = named<QLineEdit>(field);
        edit->setFocus();
        edit->selectAll();
        QTest::keyClicks(edit, text);
        QTest::keyClick(edit, Qt::Key_Enter);
    }
    void choose(const char* box, int index) {
        auto* combo = named<QComboBox>(box);
        combo->setFocus();
        QTest::keyClick(combo, Qt::Key_Home);
        for (int i = 0; i < index; ++i) QTest::keyClick(combo, Qt::Key_Down);
    }
    void stretch_of_the_recording(int way) {
        choose("Band of the receiver", 1);
        choose("Way the dial is turned", way);
        type("Division the dial starts at", "42");
        type("Division it is turned to", "44");
    }
    void play(double pace) {
        InputChoice choice;
        choice.live = false;
        choice.file = RECORDINGS "/17-sweep.flac";
        choice.pace = pace;
        hub_.open(choice);
    }
    QString words(const char* label) { return named<QLabel>(label)->text(); }

    static constexpr int kPaced = 0, kMarked = 1, kOverFile = 3;
    QTemporaryDir folder_;
    AudioHub hub_;
    Settings settings_;
    DeskState desk_;
    SweepPage page_;
};

TEST_F(OnSweepPage, AWrongFieldIsToldInPlaceAndNothingBegins) {
    stretch_of_the_recording(kPaced);
    type("Division it is turned to", "440");
    EXPECT_EQ(words("How the sweep goes"), "To: '440', allowed: 0 to 100");
    QTest::keyClick(&page_, Qt::Key_S);
    EXPECT_FALSE(page_.model().active());
    EXPECT_EQ(QApplication::activeModalWidget(), nullptr);
    type("Division it is turned to", "44");
    refresh();
    EXPECT_EQ(words("How the sweep goes"), "Ready.");
    type("Frequency of the wanted station, kilohertz", "28000");
    EXPECT_TRUE(words("How the sweep goes").contains("28"));
}

TEST_F(OnSweepPage, AWholeSweepByKeysAndTheWayBackToAStation) {
    stretch_of_the_recording(kOverFile);
    type("Frequency of the wanted station, kilohertz", "3800");
    page_.setFocus();
    QTest::keyClick(&page_, Qt::Key_S);
    EXPECT_TRUE(page_.model().active());
    refresh();
    EXPECT_FALSE(named<QLineEdit>("Division it is turned to")->isEnabled());
    play(0.0);
    ASSERT_TRUE(wait_until([&] { return page_.model().now().phase == SweepPhase::done; }));
    auto* table = named<StationTable>("Stations met");
    ASSERT_EQ(table->rowCount(), 4);
    EXPECT_EQ(table->item(0, 3)->text(), "broadcast");
    EXPECT_EQ(table->item(3, 3)->text(), "keyed");
    EXPECT_GT(page_.findChild<WhereCurve*>()->line().count(), 10);
    table->setFocus();
    for (int i = 0; i < 3; ++i) QTest::keyClick(table, Qt::Key_Down);
    QTest::keyClick(table, Qt::Key_Enter);
    refresh();
    EXPECT_EQ(words("Which way to turn"), "listen");
    EXPECT_TRUE(words("How far to turn").startsWith("near 43."));
    EXPECT_GE(QFontInfo(named<QLabel>("Which way to turn")->font()).pointSizeF(), 40.0);
    QSignalSpy wanted(&desk_, &DeskState::pitch_wanted);
    InputChoice steady;
    steady.live = false;
    steady.file = RECORDINGS "/01-call-up-easy.flac";
    steady.pace = 8.0;
    hub_.open(steady);
    ASSERT_TRUE(wait_until([&] { return wanted.count() == 1; }));
    EXPECT_NEAR(wanted.first().first().toDouble(), 700.0, 10.0);
    EXPECT_TRUE(words("Which way to turn").contains("there"));
    QTest::keyClick(table, Qt::Key_Escape);
    refresh();
    EXPECT_FALSE(named<QLabel>("Which way to turn")->isVisible());
}

TEST_F(OnSweepPage, TheSpaceBarMarksDivisions) {
    stretch_of_the_recording(kMarked);
    auto* field = named<QLineEdit>("Division it is turned to");
    QTest::keyClick(field, Qt::Key_S);  // a key of the page from within a field of numbers too
    EXPECT_EQ(field->text(), "44");
    EXPECT_TRUE(page_.model().active());
    play(8.0);
    ASSERT_TRUE(wait_until([&] { return page_.model().now().heard_s > 0.0; }));
    auto* table = named<StationTable>("Stations met");
    QTest::keyClick(table, Qt::Key_Space);
    ASSERT_TRUE(wait_until([&] { return page_.model().now().heard_s > 10.0; }));
    QTest::keyClick(table, Qt::Key_Space);
    EXPECT_EQ(page_.model().marks()->marks().size(), 2U);
    QTest::keyClick(table, Qt::Key_Backspace);
    EXPECT_EQ(page_.model().marks()->marks().size(), 1U);
    refresh();
    EXPECT_TRUE(words("How the sweep goes").contains("Mark 43"));
}

TEST_F(OnSweepPage, ClicksAtDivisionsOnlyWhereTheSettingIsOn) {
    int clicks = 0;
    page_.on_click = [&] { ++clicks; };
    for (const bool on : {false, true}) {
        settings_.set("sweep/click", on);
        EXPECT_EQ(named<QCheckBox>("Click in the headphones at each division")->isChecked(), on);
        stretch_of_the_recording(kPaced);
        type("Division it is turned to", "45");
        type("Pace, kilohertz a second", "2.5");
        QTest::keyClick(&page_, Qt::Key_S);
        play(16.0);
        ASSERT_TRUE(wait_until([&] { return page_.model().now().phase == SweepPhase::done; }));
        EXPECT_EQ(clicks > 0, on);
        hub_.stop();
        refresh();
    }
    EXPECT_GE(clicks, 2);
    EXPECT_LE(clicks, 3);
}

TEST_F(OnSweepPage, TheContactGivesFrequencyStretchAndPace) {
    station::ContactCard card;
    card.with.call = "QXB2";
    card.leg.receive_khz = 3570.0;
    desk_.set_card(card);
    const SweepSetup& setup = page_.model().setup();
    EXPECT_EQ(setup.band, "2");
    EXPECT_EQ(setup.wanted_mhz, 3.57);
    EXPECT_EQ(setup.calls, std::vector<std::string>{"QXB2"});
    EXPECT_EQ(named<QLineEdit>("Frequency of the wanted station, kilohertz")->text(), "3570");
    EXPECT_LT(setup.from_div, setup.to_div);
}

TEST_F(OnSweepPage, FitsASmallScreenAndEveryPartIsInTheTheme) {
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
    const QImage shot = page_.findChild<SweepPicture*>()->grab().toImage();
    const QColor paper = desk_.theme().paper();
    EXPECT_EQ(shot.pixelColor(shot.width() / 2, shot.height() / 2), paper);
}

}  // namespace
}  // namespace skedlark::gui
