// The page driven by keys, as an operator would.
#include "gui/plan/plan_page.h"

#include <gtest/gtest.h>

#include <QApplication>
#include <QLabel>
#include <QLineEdit>
#include <QTabBar>
#include <QTemporaryDir>
#include <QTest>

namespace skedlark::gui {
namespace {

class PlanPageTest : public ::testing::Test {
 protected:
    void SetUp() override {
        desk.set_now(parse_utc("2026-11-26T17:00Z").operator*());
        QObject::connect(&desk, &DeskState::page_wanted, [this](PageName name) { wanted = name; });
    }
    void open() {
        page = std::make_unique<PlanPage>(desk);
        page->resize(1024, 540);
        page->show();
        ASSERT_TRUE(QTest::qWaitForWindowExposed(page.get()));
    }
    void open_with_example() {
        settings.set("station/plan", EXAMPLE_PLAN);
        settings.set("station/receiver", EXAMPLE_RECEIVER);
        open();
    }
    template <typename T>
    T* find(const char* name) {
        T* found = page->findChild<T*>(name);
        EXPECT_NE(found, nullptr) << name;
        return found;
    }
    QString label(const char* name) { return find<QLabel>(name)->text(); }
    void press(Qt::Key key, Qt::KeyboardModifiers with = Qt::NoModifier) {
        QWidget* at = QApplication::focusWidget();
        QTest::keyClick(at != nullptr ? at : page.get(), key, with);
    }

    const QTemporaryDir folder;
    Settings settings{folder.filePath("desk.ini")};
    AudioHub hub;
    DeskState desk{hub, settings};
    std::unique_ptr<PlanPage> page;
    std::optional<PageName> wanted;
};

TEST_F(PlanPageTest, WithoutAPlanItSaysHowToOpenOne) {
    open();
    EXPECT_TRUE(label("nothing").contains("Ctrl+O"));
    EXPECT_FALSE(desk.card());
    press(Qt::Key_O, Qt::ControlModifier);
    QTest::keyClicks(QApplication::focusWidget(), EXAMPLE_PLAN);
    press(Qt::Key_Return);
    ASSERT_TRUE(desk.plan());
    EXPECT_EQ(settings.text("station/plan"), QString(EXAMPLE_PLAN));
    EXPECT_EQ(label("to_go"), "1:30:00");
}

TEST_F(PlanPageTest, TheLastFilesAreOpenedAndTheNextContactIsAtHand) {
    open_with_example();
    ASSERT_TRUE(desk.card());
    EXPECT_EQ(desk.card()->contact, "evening");
    EXPECT_EQ(label("with"), "QXB2  Valley base");
    EXPECT_TRUE(label("dial").startsWith("band 2, division"));
}

TEST_F(PlanPageTest, KeysChooseAContactAndGoToTheSweep) {
    open_with_example();
    find<QListWidget>("contacts")->setFocus();
    press(Qt::Key_Down);
    ASSERT_TRUE(desk.card());
    EXPECT_EQ(desk.card()->contact, "saddle");
    EXPECT_EQ(label("with"), "QZM4  Saddle hut");
    press(Qt::Key_Return);
    EXPECT_EQ(wanted, PageName::sweep);
    press(Qt::Key_Up);
    EXPECT_EQ(desk.card()->contact, "evening");
}

TEST_F(PlanPageTest, TheCardCountsAndAContactThatIsOverGivesWay) {
    open_with_example();
    desk.set_now(*parse_utc("2026-11-26T17:00:01Z"));
    page->refresh(true);
    EXPECT_EQ(label("to_go"), "1:29:59");
    // The last fallback of "evening" ends at 20:20.
    desk.set_now(*parse_utc("2026-11-26T20:20:01Z"));
    page->refresh(true);
    EXPECT_EQ(desk.card()->contact, "saddle");
}

TEST_F(PlanPageTest, AChosenContactStaysChosenWhenAnEarlierOneIsOver) {
    open_with_example();
    find<QListWidget>("contacts")->setFocus();
    press(Qt::Key_Down);
    press(Qt::Key_Down);
    ASSERT_EQ(desk.card()->leg.start, *parse_utc("2026-11-27T18:30Z"));
    desk.set_now(*parse_utc("2026-11-27T09:00Z"));
    page->refresh(true);
    EXPECT_EQ(desk.card()->leg.start, *parse_utc("2026-11-27T18:30Z"));
    EXPECT_EQ(find<QListWidget>("contacts")->currentRow(), 0);
}

TEST_F(PlanPageTest, AFileThatIsNoPlanIsToldInPlace) {
    settings.set("station/plan", "/nowhere/plan.toml");
    open();
    EXPECT_TRUE(label("plan_problem").contains("/nowhere/plan.toml"));
    EXPECT_FALSE(desk.plan());
}

TEST_F(PlanPageTest, EveryControlHasAName) {
    open_with_example();
    for (const QWidget* widget : page->findChildren<QWidget*>()) {
        // A label is named by its text; a list that drops down and a viewport are parts of others.
        const bool part = qobject_cast<QComboBox*>(widget->parentWidget()->parentWidget()) ||
                          qobject_cast<QComboBox*>(widget->parentWidget()) ||
                          widget->metaObject() == &QWidget::staticMetaObject;
        if ((widget->focusPolicy() & Qt::TabFocus) == 0 || part ||
            widget->objectName().startsWith("qt_")) {
            continue;
        }
        EXPECT_FALSE(widget->accessibleName().isEmpty())
            << widget->metaObject()->className() << " " << widget->objectName().toStdString();
    }
}

// As the window shows it: with the style sheet, in every theme and size, stations coming and going.
TEST_F(PlanPageTest, EveryViewStandsRestylingResizingAndNewStations) {
    struct Look {
        bool dark;
        double type_percent;
        QSize size;
    };
    for (const Look& look : {Look{false, 100.0, {1024, 540}}, Look{true, 100.0, {1920, 1000}},
                             Look{false, 200.0, {1024, 540}}}) {
        settings.set("look/dark", look.dark);
        settings.set("look/type_percent", look.type_percent);
        const Theme theme = desk.theme();
        QApplication::setPalette(theme.palette());
        QApplication::setFont(theme.body());
        qApp->setStyleSheet(theme.style_sheet());
        open_with_example();
        page->restyle();
        page->resize(look.size);
        auto* views = find<QTabBar>("views");
        for (int round = 0; round < 2; ++round) {
            for (int view = 0; view < views->count(); ++view) {
                views->setCurrentIndex(view);
                desk.set_known({{3.614, 36.4}, {4.594, 69.5}});
                page->refresh(true);
                QTest::qWait(30);
                EXPECT_FALSE(page->grab().isNull());
                desk.set_known({{3.614, 36.4}});
            }
            page->resize(look.size - QSize(100, 40));
        }
        page.reset();
    }
    qApp->setStyleSheet("");
}

}  // namespace
}  // namespace skedlark::gui
