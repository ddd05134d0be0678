// The page by its keys, drawn off the screen, on made sound files.
#include "gui/bench/bench_page.h"

#include <gtest/gtest.h>

#include <QApplication>
#include <QFile>
#include <QScrollArea>
#include <QTemporaryDir>
#include <QTest>

#include "tests/desk/bench/bench_sounds.h"
#include "tests/desk/bench/wav.h"

namespace skedlark::gui {
namespace {

using test::made;

class OnBenchPage : public testing::Test {
 protected:
    OnBenchPage() : settings_(folder_.filePath("desk.ini")), desk_(hub_, settings_) {
        settings_.set("bench/log", folder_.filePath("log.db"));
        settings_.set("bench/receiver", "hut set");
        settings_.set("input/pace", 0.0);
        page_ = std::make_unique<BenchPage>(desk_);
        page_->resize(1024, 500);
        page_->show();
        EXPECT_TRUE(QTest::qWaitForWindowExposed(page_.get()));
        refresh();
    }
    ~OnBenchPage() override { hub_.stop(); }
    void refresh() {
        page_->refresh(true);
        QApplication::processEvents();
    }
    template <typename Until>
    bool wait_until(Until until, int most_ms = 60000) {
        return QTest::qWaitFor(
            [&] {
                page_->refresh(true);
                return until();
            },
            most_ms);
    }
    template <typename T>
    T* named(const char* accessible_name) {
        for (T* widget : page_->findChildren<T*>()) {
            if (widget->accessibleName() == QLatin1String(accessible_name)) return widget;
        }
        ADD_FAILURE() << "no " << accessible_name;
        return nullptr;
    }
    void choose(int row) {
        auto* list = named<QListWidget>("Tests of the bench");
        list->setFocus();
        QTest::keyClick(list, Qt::Key_Home);
        for (int i = 0; i < row; ++i) QTest::keyClick(list, Qt::Key_Down);
        refresh();
    }
    void key(Qt::Key key, Qt::KeyboardModifiers with = Qt::NoModifier) {
        QTest::keyClick(named<QListWidget>("Tests of the bench"), key, with);
        refresh();
    }
    void type(const char* field, const QString& text) {
        auto* edit = named<QLineEdit>(field);
        edit->setFocus();
        edit->selectAll();
        if (text.isEmpty()) QTest::keyClick(edit, Qt::Key_Delete);
        QTest::keyClicks(edit, text);
        QTest::keyClick(edit, Qt::Key_Enter);
        refresh();
    }
    void choose_way(const char* box, int index) {
        auto* combo = named<QComboBox>(box);
        combo->setFocus();
        QTest::keyClick(combo, Qt::Key_Home);
        for (int i = 0; i < index; ++i) QTest::keyClick(combo, Qt::Key_Down);
        refresh();
    }
    // The file is opened, and the step recorded over it.
    void record_file(const std::vector<float>& audio, const char* step) {
        const QString file = folder_.filePath("set.wav");
        hub_.stop();
        test::write_wav(file.toStdString(), audio);
        InputChoice choice;
        choice.live = false;
        choice.file = file.toStdString();
        choice.pace = 0.0;
        hub_.open(choice);
        EXPECT_TRUE(QTest::qWaitFor([&] { return hub_.state().phase == HubPhase::ended; }));
        // What was recorded before stands until the new recording is done.
        const auto before = page_->model().run().changes();
        key(Qt::Key_F5);
        EXPECT_TRUE(wait_until([&] {
            const BenchRun& run = page_->model().run();
            return run.takes().contains(step) && run.changes() != before;
        })) << words("What is wrong").toStdString();
    }
    QString words(const char* label) { return named<QLabel>(label)->text(); }

    static constexpr int kTone = 1, kSensitivity = 2, kDrift = 4, kDial = 6, kPeak = 9;
    QTemporaryDir folder_;
    AudioHub hub_;
    Settings settings_;
    DeskState desk_;
    std::unique_ptr<BenchPage> page_;
};

TEST_F(OnBenchPage, AToneByKeysFromTheFirstStepToTheLogAndAgain) {
    choose(kTone);
    EXPECT_TRUE(words("Caution").contains("headphones off the ears"));
    EXPECT_TRUE(words("What to do").contains("Generator or crystal"));
    key(Qt::Key_Right, Qt::AltModifier);
    EXPECT_EQ(named<QComboBox>("Step of the test")->currentText(), "2 of 3: Steady tone");
    key(Qt::Key_Right, Qt::AltModifier);
    EXPECT_TRUE(words("What is wrong").startsWith("! Step 2 has not been recorded yet"));
    key(Qt::Key_F5);
    EXPECT_TRUE(words("What is wrong").contains("No sound comes in"));
    record_file(made({.snr_db = 10.0}), "tone");
    EXPECT_EQ(words("How the step goes"), "Recorded: 10.0 s. F5 records it anew.");
    key(Qt::Key_Right, Qt::AltModifier);
    ASSERT_TRUE(wait_until([&] { return page_->model().done() != nullptr; }));
    refresh();
    EXPECT_EQ(words("Verdict"), "FAIL: 1 of 2 limits missed or not settled.");
    auto* table = named<RowTable>("Figures of the result");
    ASSERT_GT(table->rowCount(), 5);
    EXPECT_EQ(table->item(3, 1)->text(), "SINAD");
    EXPECT_TRUE(table->item(3, 2)->text().contains(QString::fromUtf8("±")));
    EXPECT_EQ(table->item(3, 0)->text(), "FAIL");
    EXPECT_TRUE(page_->findChild<PictureView*>()->points() > 50);
    EXPECT_EQ(named<QListWidget>("Tests of the bench")->item(kTone)->text(), "Tone: FAIL");
    EXPECT_EQ(words("What was saved"), "Entry 1 of the log.");
    // Repaired: the step is repeated, and what changed is told.
    key(Qt::Key_Left, Qt::AltModifier);
    record_file(made({.snr_db = 30.0, .seed = 5}), "tone");
    key(Qt::Key_Right, Qt::AltModifier);
    ASSERT_TRUE(wait_until([&] { return page_->model().results() == 2; }));
    key(Qt::Key_B, Qt::AltModifier);
    auto* changes = named<RowTable>("What has changed");
    ASSERT_TRUE(changes->isVisible());
    ASSERT_GT(changes->rowCount(), 3);
    EXPECT_EQ(changes->item(3, 0)->text(), "sinad_db");
    EXPECT_EQ(changes->item(3, 4)->text(), "CHANGED");
    key(Qt::Key_G, Qt::AltModifier);
    EXPECT_TRUE(named<QPlainTextEdit>("Where to look when the set is not right")
                    ->toPlainText()
                    .contains("order of experience"));
}

TEST_F(OnBenchPage, AResultIsSavedByKeys) {
    choose(kTone);
    key(Qt::Key_Right, Qt::AltModifier);
    record_file(made({.snr_db = 20.0}), "tone");
    key(Qt::Key_Right, Qt::AltModifier);
    ASSERT_TRUE(wait_until([&] { return page_->model().done() != nullptr; }));
    key(Qt::Key_R, Qt::AltModifier);
    type("File of the result, JSON Lines; Enter saves it", folder_.filePath("tone.jsonl"));
    EXPECT_TRUE(words("What was saved").startsWith("saved: "));
    QFile file(folder_.filePath("tone.jsonl"));
    ASSERT_TRUE(file.open(QIODevice::ReadOnly));
    EXPECT_TRUE(file.readAll().startsWith("{\"event\":\"input\""));
    type("File of the result, JSON Lines; Enter saves it", "/nowhere/x.jsonl");
    EXPECT_TRUE(words("What was saved").startsWith("! /nowhere"));
}

TEST_F(OnBenchPage, LevelsThatDoNotRiseAreToldInPlace) {
    choose(kSensitivity);
    choose_way("Way the sensitivity is measured", 1);
    type("Generator levels in dBm, rising", "-110 -120");
    EXPECT_TRUE(words("What is wrong").contains("levels must rise"));
    key(Qt::Key_Right, Qt::AltModifier);
    EXPECT_TRUE(words("What is wrong").contains("levels must rise"));
    EXPECT_EQ(page_->model().run().at(), 0U);
    type("Generator levels in dBm, rising", "");
    EXPECT_TRUE(words("What is wrong").contains("no generator level is named"));
    type("Generator levels in dBm, rising", "-120 -110");
    EXPECT_EQ(words("What is wrong"), "");
    EXPECT_EQ(named<QComboBox>("Step of the test")->count(), 5);
    EXPECT_EQ(QApplication::activeModalWidget(), nullptr);
}

TEST_F(OnBenchPage, AStepOutOfOrderIsRefusedInWords) {
    choose(kSensitivity);
    choose_way("Step of the test", 3);
    EXPECT_TRUE(words("What is wrong").contains("Steps go in order: step 1, Connect"));
    EXPECT_EQ(named<QComboBox>("Step of the test")->currentIndex(), 0);
}

TEST_F(OnBenchPage, ThePeakMeterIsLargeAndSaysWhichWayItGoes) {
    choose(kPeak);
    key(Qt::Key_Right, Qt::AltModifier);
    auto* meter = named<PeakView>("Peak meter");
    EXPECT_TRUE(meter->isVisible());
    EXPECT_TRUE(meter->words().contains("F5 begins"));
    auto audio = made({.seconds = 3.0, .amplitude = 0.2, .snr_db = 50.0});
    const auto lower = made({.seconds = 3.0, .amplitude = 0.1, .snr_db = 50.0});
    audio.insert(audio.end(), lower.begin(), lower.end());
    test::write_wav(folder_.filePath("set.wav").toStdString(), audio);
    InputChoice choice;
    choice.live = false;
    choice.file = folder_.filePath("set.wav").toStdString();
    choice.pace = 0.0;
    hub_.open(choice);
    ASSERT_TRUE(QTest::qWaitFor([&] { return hub_.state().phase == HubPhase::ended; }));
    key(Qt::Key_F5);
    ASSERT_TRUE(wait_until([&] { return meter->words().contains("dBFS"); }));
    ASSERT_TRUE(wait_until([&] { return hub_.state().phase == HubPhase::ended; }));
    refresh();
    EXPECT_EQ(meter->number(), QString::fromUtf8("−6.0"));
    EXPECT_TRUE(meter->accessibleDescription().contains("falling"));
    const QImage shot = meter->grab().toImage();
    EXPECT_FALSE(shot.isNull());
}

TEST_F(OnBenchPage, TheDialFromNotedPointsWithoutSound) {
    ASSERT_TRUE(desk_.load_receiver(EXAMPLES "/saddle-hut.toml").ok());
    choose(kDial);
    type("Band of the receiver file in use", "2");
    type("Check points: megahertz, division, below or above; the next after a semicolon",
         "5 57.4 below; 5 57.6 above");
    key(Qt::Key_Right, Qt::AltModifier);
    ASSERT_TRUE(wait_until([&] { return page_->model().done() != nullptr; }))
        << words("What is wrong").toStdString();
    refresh();
    EXPECT_TRUE(words("Verdict").startsWith("FAIL"));
    EXPECT_TRUE(named<QPushButton>("Save the receiver file with the corrected chart")->isVisible());
}

TEST_F(OnBenchPage, LimitsOfAFileAndItsMistakes) {
    type("Limits file", "/nowhere.toml");
    EXPECT_EQ(settings_.text("bench/limits"), "/nowhere.toml");
    choose(kTone);
    key(Qt::Key_Right, Qt::AltModifier);
    record_file(made({.snr_db = 20.0}), "tone");
    key(Qt::Key_Right, Qt::AltModifier);
    EXPECT_TRUE(words("What is wrong").contains("/nowhere.toml"));
}

TEST_F(OnBenchPage, FitsASmallScreenAndLargeTypeMakesItLongerNotWider) {
    const auto* area = page_->findChild<QScrollArea*>();
    for (int row = 0; row < 11; ++row) {
        choose(row);
        EXPECT_LE(area->widget()->width(), 1024) << row;
        EXPECT_LE(area->widget()->height(), 500) << row << " is scrolled at normal type";
    }
    settings_.set("look/type_percent", 170.0);
    page_->restyle();
    choose(kDrift);
    EXPECT_LE(area->widget()->width(), 1024);
    settings_.set("look/type_percent", 100.0);
    settings_.set("look/dark", true);
    page_->restyle();
    refresh();
    const QImage shot = page_->findChild<PictureView*>()->grab().toImage();
    EXPECT_EQ(shot.pixelColor(shot.width() / 2, shot.height() / 2), desk_.theme().paper());
}

}  // namespace
}  // namespace skedlark::gui
