// The forms by key: a wrong value is told below its field, a right one is in the saved file.
#include "gui/plan/editor.h"

#include <gtest/gtest.h>

#include <QFile>
#include <QTemporaryDir>
#include <QTest>

#include "dsp/station/plan_reader.h"
#include "gui/plan/plan_page.h"

namespace skedlark::gui {
namespace {

class EditorTest : public ::testing::Test {
 protected:
    void SetUp() override {
        QFile::copy(EXAMPLE_PLAN, plan_path);
        settings.set("station/plan", plan_path);
        desk.set_now(*parse_utc("2026-11-26T17:00Z"));
        open();
    }
    void open() {
        page.reset();
        page = std::make_unique<PlanPage>(desk);
        page->resize(1024, 540);
        page->show();
        ASSERT_TRUE(QTest::qWaitForWindowExposed(page.get()));
        page->findChild<QTabBar*>("views")->setCurrentIndex(1);
    }
    void choose(const QString& title) {
        auto* list = page->findChild<QListWidget*>("plan_entries");
        const auto found = list->findItems(title, Qt::MatchExactly);
        ASSERT_EQ(found.size(), 1) << title.toStdString();
        list->setCurrentItem(found[0]);
    }
    // Both editors have fields of this name; one of them is in sight.
    template <typename T>
    T* shown(const char* name) {
        for (T* found : page->findChildren<T*>(name)) {
            if (found->isVisible()) return found;
        }
        return nullptr;
    }
    void type(const char* field, const QString& text) {
        auto* line = shown<QLineEdit>(field);
        ASSERT_NE(line, nullptr) << field;
        line->setFocus();
        QTest::keyClick(line, Qt::Key_A, Qt::ControlModifier);
        QTest::keyClick(line, Qt::Key_Delete);
        QTest::keyClicks(line, text);
    }
    void click(const char* button) { QTest::keyClick(shown<QPushButton>(button), Qt::Key_Space); }
    void save() { QTest::keyClick(page->focusWidget(), Qt::Key_S, Qt::ControlModifier); }
    QLabel* label(const char* name) { return page->findChild<QLabel*>(name); }

    const QTemporaryDir folder;
    const QString plan_path = folder.filePath("hut.toml");
    Settings settings{folder.filePath("desk.ini")};
    AudioHub hub;
    DeskState desk{hub, settings};
    std::unique_ptr<PlanPage> page;
};

TEST_F(EditorTest, AWrongValueIsToldBelowItsFieldAndARightOneIsSaved) {
    choose("contact evening");
    EXPECT_EQ(label("plan_word")->text(), "saved");
    type("field_receive_khz", "35");
    EXPECT_TRUE(label("problem_receive_khz")->isVisible());
    EXPECT_EQ(label("problem_receive_khz")->text(), "! 35; allowed: 100 to 60000 kHz");
    EXPECT_EQ(label("plan_word")->text(), "not saved");
    save();
    EXPECT_TRUE(label("plan_problem")->text().contains("not saved"));
    EXPECT_EQ(station::read_plan(plan_path.toStdString())->contacts[0].channel.receive_khz, 3570.0);

    type("field_receive_khz", "3575.5");
    EXPECT_FALSE(label("problem_receive_khz")->isVisible());
    save();
    EXPECT_EQ(label("plan_word")->text(), "saved");
    const auto saved = station::read_plan(plan_path.toStdString());
    ASSERT_TRUE(saved) << saved.error().message;
    EXPECT_EQ(saved->contacts[0].channel.receive_khz, 3575.5);
    EXPECT_EQ(desk.plan()->contacts[0].channel.receive_khz, 3575.5);
    EXPECT_TRUE(QFile::exists(plan_path + ".with-remarks")) << "the example has remarks";
}

TEST_F(EditorTest, AnEntryIsAddedRemovedAndPutBack) {
    choose("crystal K3");
    click("remove");
    EXPECT_TRUE(page->findChild<QListWidget*>("plan_entries")
                    ->findItems("crystal K3", Qt::MatchExactly)
                    .isEmpty());
    click("undo");
    choose("crystal K3");
    click("add_crystal");
    EXPECT_TRUE(shown<QLabel>("problem_name")->text().contains("is missing"));
    type("field_name", "K4");
    type("field_khz", "5000");
    save();
    const auto saved = station::read_plan(plan_path.toStdString());
    ASSERT_EQ(saved->crystals.size(), 4U) << label("plan_problem")->text().toStdString();
    EXPECT_EQ(saved->crystals[3].khz, 5000.0);
}

TEST_F(EditorTest, WhatIsNotSavedIsKeptAndOfferedAgain) {
    choose("contact evening");
    type("field_receive_khz", "3580");
    open();
    EXPECT_EQ(desk.plan()->contacts[0].channel.receive_khz, 3570.0);
    EXPECT_TRUE(label("plan_offer")->isVisible());
    click("plan_take_draft");
    EXPECT_EQ(label("plan_word")->text(), "not saved");
    choose("contact evening");
    EXPECT_EQ(page->findChild<QLineEdit*>("field_receive_khz")->text(), "3580");
    save();
    EXPECT_EQ(station::read_plan(plan_path.toStdString())->contacts[0].channel.receive_khz, 3580.0);
    open();
    EXPECT_FALSE(label("plan_offer")->isVisible());
}

TEST_F(EditorTest, AnotherFileOpenedDoesNotLoseWhatWasNotSaved) {
    choose("contact evening");
    type("field_receive_khz", "3580");
    type("plan_path", EXAMPLE_PLAN);
    QTest::keyClick(page->findChild<QLineEdit*>("plan_path"), Qt::Key_Return);
    page->findChild<QTabBar*>("views")->setCurrentIndex(1);
    EXPECT_EQ(label("plan_word")->text(), "saved");
    EXPECT_TRUE(label("plan_offer")->isVisible());
    click("plan_take_draft");
    choose("contact evening");
    EXPECT_EQ(shown<QLineEdit>("field_receive_khz")->text(), "3580");
}

TEST_F(EditorTest, AFolderThatIsNotThereIsToldAndNothingIsLost) {
    choose("contact evening");
    type("field_receive_khz", "3580");
    type("plan_path", "/nowhere/p.toml");
    save();
    EXPECT_TRUE(label("plan_problem")->text().contains("/nowhere/p.toml"));
    EXPECT_EQ(label("plan_word")->text(), "not saved");
}

}  // namespace
}  // namespace skedlark::gui
