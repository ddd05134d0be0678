// Known stations by key, and the picture as a file.
#include "gui/plan/chart_view.h"

#include <gtest/gtest.h>

#include <QFile>
#include <QImage>
#include <QTemporaryDir>
#include <QTest>

namespace skedlark::gui {
namespace {

class ChartViewTest : public ::testing::Test {
 protected:
    void SetUp() override {
        ASSERT_TRUE(desk.load_receiver(EXAMPLE_RECEIVER));
        view = std::make_unique<ChartView>(desk);
        view->resize(900, 500);
        view->show();
        ASSERT_TRUE(QTest::qWaitForWindowExposed(view.get()));
    }
    void type(const char* into, const QString& text) {
        auto* line = view->findChild<QLineEdit*>(into);
        line->setFocus();
        line->clear();
        QTest::keyClicks(line, text);
        QTest::keyClick(line, Qt::Key_Return);
    }
    QString label(const char* name) { return view->findChild<QLabel*>(name)->text(); }

    const QTemporaryDir folder;
    Settings settings{folder.filePath("desk.ini")};
    AudioHub hub;
    DeskState desk{hub, settings};
    std::unique_ptr<ChartView> view;
};

TEST_F(ChartViewTest, AKnownStationIsAddedAndRemoved) {
    // 2.055 MHz stands at 40 on band 1.
    type("known_entry", "2.055=40.6");
    ASSERT_EQ(desk.known().size(), 1U);
    EXPECT_TRUE(label("correction_words").contains("+0.60"))
        << label("correction_words").toStdString();
    auto* list = view->findChild<QListWidget*>("known");
    list->setCurrentRow(0);
    for (auto* button : view->findChildren<QPushButton*>()) {
        if (button->text() == "Remove station") QTest::keyClick(button, Qt::Key_Space);
    }
    EXPECT_TRUE(desk.known().empty());
}

TEST_F(ChartViewTest, AStationThatCannotBeIsToldInPlace) {
    type("known_entry", "2.055=90");
    EXPECT_TRUE(desk.known().empty());
    EXPECT_TRUE(label("chart_problem").contains("2.055")) << label("chart_problem").toStdString();
    type("known_entry", "soon");
    EXPECT_TRUE(label("chart_problem").contains("allowed: MHz=division"));
}

TEST_F(ChartViewTest, ThePictureIsSavedAsSvgAndPng) {
    type("picture_path", folder.filePath("a.svg"));
    QFile svg(folder.filePath("a.svg"));
    ASSERT_TRUE(svg.open(QIODevice::ReadOnly));
    EXPECT_TRUE(svg.readAll().contains("<svg"));
    type("picture_path", folder.filePath("a.png"));
    const QImage image(folder.filePath("a.png"));
    ASSERT_FALSE(image.isNull());
    EXPECT_GT(image.width(), 300);
    type("picture_path", folder.filePath("a.txt"));
    EXPECT_TRUE(label("chart_problem").contains("allowed: a path ending in .svg or .png"));
    EXPECT_FALSE(QFile::exists(folder.filePath("a.txt")));
}

}  // namespace
}  // namespace skedlark::gui
