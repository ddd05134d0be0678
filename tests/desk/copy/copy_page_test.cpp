// The page as an operator works it: real keys, on a recording of the collection.
#include "gui/copy/copy_page.h"

#include <gtest/gtest.h>

#include <QApplication>
#include <QFile>
#include <QTemporaryDir>
#include <QTest>
#include <nlohmann/json.hpp>

namespace skedlark::gui {
namespace {

class CopyPageTest : public ::testing::Test {
 protected:
    void SetUp() override {
        qputenv("XDG_DATA_HOME", folder_.path().toUtf8());
        page_ = std::make_unique<CopyPage>(desk_);
        page_->resize(1024, 600);
        page_->show();
        (void)QTest::qWaitForWindowExposed(page_.get());
        ruled_ = page_->findChild<RuledPage*>();
        InputChoice input;
        input.live = false;
        input.file = std::string(RECORDINGS) + "/11-weak-groups.flac";
        input.pace = 0.0;
        hub_.open(input);
        ASSERT_TRUE(QTest::qWaitFor([&] { return hub_.state().phase == HubPhase::ended; }, 60'000));
        settle();
    }
    void settle() {
        for (int i = 0; i < 8; ++i) page_->refresh(true);
    }
    template <typename W>
    W* named(const char* name) {
        for (W* widget : page_->findChildren<W*>()) {
            if (widget->accessibleName() == QLatin1String(name)) return widget;
        }
        return nullptr;
    }
    static std::string read(const QString& path) {
        QFile file(path);
        return file.open(QIODevice::ReadOnly) ? file.readAll().toStdString() : "";
    }

    QTemporaryDir folder_;
    Settings settings_{folder_.filePath("desk.ini")};
    AudioHub hub_;
    DeskState desk_{hub_, settings_};
    std::unique_ptr<CopyPage> page_;
    RuledPage* ruled_ = nullptr;
};

TEST_F(CopyPageTest, TextAppearsInNumberedGroups) {
    const QString text = named<QPlainTextEdit>("Copied text")->toPlainText();
    EXPECT_TRUE(text.contains("1 KXQMV")) << text.toStdString();  // by the manifest
    EXPECT_TRUE(text.contains("12 KIQRW")) << text.toStdString();
    EXPECT_TRUE(named<QLabel>("Count of groups")->text().startsWith("12 groups"));
    EXPECT_TRUE(named<QLabel>("Pitch, speed, level, drift")->text().startsWith("700 Hz, 20 words"));
}

TEST_F(CopyPageTest, ThePictureIsDarkAlongTheTone) {
    const QImage image = ruled_->grab().toImage();
    int dark = 0;
    for (int x = image.width() / 4; x < image.width(); ++x) {
        for (int y = 0; y < image.height() / 4; ++y)
            dark += image.pixelColor(x, y).lightness() < 100;
    }
    EXPECT_GT(dark, 500);
}

TEST_F(CopyPageTest, KeysGoThroughTheCharactersAndTellOtherReadings) {
    ruled_->setFocus();
    QTest::keyClick(ruled_, Qt::Key_Left);
    const auto last = ruled_->pointed();
    ASSERT_TRUE(last.has_value());
    EXPECT_EQ(last->as_read(), "W");
    QTest::keyClick(ruled_, Qt::Key_Left);
    EXPECT_EQ(ruled_->pointed()->as_read(), "R");
    const QString readings = named<QLabel>("Other readings")->text();
    EXPECT_EQ(readings.toStdString(), readings_of(*ruled_->pointed()));
    EXPECT_EQ(ruled_->accessibleDescription(), readings);
    QTest::keyClick(ruled_, Qt::Key_Escape);
    EXPECT_FALSE(ruled_->pointed().has_value());
}

TEST_F(CopyPageTest, ACorrectionIsTypedAndStandsBesideWhatWasRead) {
    ruled_->setFocus();
    QTest::keyClick(ruled_, Qt::Key_Left);
    QTest::keyClick(ruled_, Qt::Key_Return);
    auto* line = named<QLineEdit>("Correction of the character pointed at");
    QTest::keyClicks(line, "z");
    QTest::keyClick(line, Qt::Key_Return);
    settle();
    EXPECT_EQ(ruled_->pointed()->as_taken(), "Z");
    EXPECT_EQ(ruled_->pointed()->as_read(), "W");
    EXPECT_TRUE(named<QPlainTextEdit>("Copied text")->toPlainText().contains("KIQRZ*"));
    EXPECT_NE(page_->model().as_text().find("KIQRW"), std::string::npos);
}

TEST_F(CopyPageTest, AStretchIsMarkedPlayedReadAgainAndTakenOver) {
    std::size_t played = 0;
    page_->on_play = [&](const std::vector<float>& audio) { played = audio.size(); };
    settle();
    ruled_->setFocus();
    QTest::keyClick(ruled_, Qt::Key_Left);
    for (int i = 0; i < 4; ++i) QTest::keyClick(ruled_, Qt::Key_Left, Qt::ShiftModifier);
    ASSERT_TRUE(ruled_->marked().has_value());
    QTest::keyClick(ruled_, Qt::Key_P, Qt::ControlModifier);
    EXPECT_EQ(static_cast<FrameIndex>(played), ruled_->marked()->to - ruled_->marked()->from);
    QTest::keyClick(ruled_, Qt::Key_R, Qt::ControlModifier);
    auto* result = named<QLabel>("Read again");
    EXPECT_TRUE(QTest::qWaitFor(
        [&] {
            page_->refresh(true);
            return result->text().startsWith("Read again: KIQRW");
        },
        30'000))
        << result->text().toStdString();
    QTest::keyClick(named<QPushButton>("Take over"), Qt::Key_Space);
    settle();
    EXPECT_TRUE(result->text().startsWith("Taken over"));
    EXPECT_NE(page_->model().as_json().find("\"correction\""), std::string::npos);
}

TEST_F(CopyPageTest, OwnSendingIsSetApartByAKey) {
    ruled_->setFocus();
    QTest::keyClick(ruled_, Qt::Key_Return, Qt::ControlModifier);
    EXPECT_TRUE(page_->model().text().sending());
    QTest::keyClick(ruled_, Qt::Key_Return, Qt::ControlModifier);
    EXPECT_FALSE(page_->model().text().sending());
    EXPECT_NE(page_->model().as_json().find("\"sending\""), std::string::npos);
}

TEST_F(CopyPageTest, WhatWasCopiedIsOnDiskWhileThePageStillRuns) {
    const QString notes = named<QPlainTextEdit>("Notes")->toPlainText();
    const QString written = notes.section("written down in ", 1).section('\n', 0, 0);
    EXPECT_EQ(read(written) + "\n", page_->model().as_text());
    const std::string lines = read(QString(written).replace(".txt", ".jsonl"));
    EXPECT_EQ(lines, page_->model().as_json());
}

TEST_F(CopyPageTest, SavesWholeAndWritesNothingOverUnasked) {
    auto* path = named<QLineEdit>("File, saved with Return");
    const QString file = folder_.filePath("saved.txt");
    path->setText(file);
    QTest::keyClick(path, Qt::Key_Return);
    EXPECT_EQ(read(file), page_->model().as_text());
    QFile other(file);
    ASSERT_TRUE(other.open(QIODevice::WriteOnly));
    other.write("mine");
    other.close();
    QTest::keyClick(path, Qt::Key_Return);
    EXPECT_EQ(read(file), "mine");
    EXPECT_TRUE(named<QLabel>("What came of saving")->text().contains("is there already"));
    QTest::keyClick(path, Qt::Key_Return);
    EXPECT_EQ(read(file), page_->model().as_text());
    path->setText(folder_.filePath("none/there.txt"));
    QTest::keyClick(path, Qt::Key_Return);
    EXPECT_TRUE(named<QLabel>("What came of saving")->text().contains("cannot be written"));
}

TEST_F(CopyPageTest, ScrollsBackAndReturnsToTheNewest) {
    ruled_->setFocus();
    page_->resize(1024, 300);
    settle();
    const QImage newest = ruled_->grab().toImage();
    QTest::keyClick(ruled_, Qt::Key_Home);
    EXPECT_NE(ruled_->grab().toImage(), newest);
    QTest::keyClick(ruled_, Qt::Key_End);
    EXPECT_EQ(ruled_->grab().toImage(), newest);
}

TEST_F(CopyPageTest, EverythingThatTakesKeysHasAName) {
    for (const QWidget* widget : page_->findChildren<QWidget*>()) {
        const bool inner =
            widget->objectName().startsWith("qt_") || widget->inherits("QComboBoxListView");
        if (widget->focusPolicy() == Qt::NoFocus || inner) continue;
        if (qobject_cast<const QTabBar*>(widget) != nullptr) continue;  // names its tabs itself
        EXPECT_FALSE(widget->accessibleName().isEmpty()) << widget->metaObject()->className();
    }
}

TEST_F(CopyPageTest, APitchThatIsWantedIsListenedTo) {
    desk_.want_pitch(650.0);
    EXPECT_EQ(settings_.number("copy/pitch_hz"), 650.0);
}

}  // namespace
}  // namespace skedlark::gui
