// The panel as a trainee works it: real keys, a sound output that plays at once.
#include "gui/practice/practice_panel.h"

#include <gtest/gtest.h>

#include <QApplication>
#include <QScrollBar>
#include <QTemporaryDir>
#include <QTest>
#include <QWheelEvent>
#include <cmath>
#include <set>

#include "dsp/morse/timing.h"

namespace skedlark::gui {
namespace {

// Takes what is played at once, and counts what the key did.
class SilentSound final : public PracticeSound {
 public:
    Status configure(const SoundSettings& settings) override {
        configured = settings;
        return Done{};
    }
    void open() override { opened = true; }
    void release() override { opened = false; }
    void key(bool, double) override { ++keyed; }
    void play(audio::Player::Make make) override {
        std::vector<float> piece(1600);
        peak = 0.0F;
        // What has no end is heard for two seconds.
        for (int i = 0; i < 600; ++i) {
            const std::size_t made = make(piece);
            for (const float sample : piece) peak = std::max(peak, std::abs(sample));
            if (made < piece.size()) break;
            if (endless && i > 10) break;
        }
        ++played;
    }
    void stop() override { ++stopped; }
    bool is_playing() const override { return false; }
    Status status() const override { return failure.empty() ? Status(Done{}) : Error{{}, failure}; }
    std::optional<double> key_delay_s() const override { return 0.034; }

    SoundSettings configured;
    bool opened = false, endless = false;
    int keyed = 0, played = 0, stopped = 0;
    float peak = 0.0F;
    std::string failure;
};

class PracticePanelTest : public ::testing::Test {
 protected:
    void SetUp() override {
        auto sound = std::make_unique<SilentSound>();
        sound_ = sound.get();
        panel_ = std::make_unique<PracticePanel>(desk_, nullptr, std::move(sound),
                                                 folder_.filePath("log.db").toStdString());
        panel_->set_who("Ann");
        panel_->resize(1000, 480);
        panel_->show();
        (void)QTest::qWaitForWindowExposed(panel_.get());
        panel_->restyle(desk_.theme());
    }
    template <typename W>
    W* named(const char* name) {
        for (W* widget : panel_->findChildren<W*>()) {
            if (widget->accessibleName() == QLatin1String(name)) return widget;
        }
        return nullptr;
    }
    void press(Qt::Key key, Qt::KeyboardModifiers modifiers = Qt::NoModifier) {
        QWidget* focus = QApplication::focusWidget();
        QTest::keyClick(focus != nullptr ? focus : panel_.get(), key, modifiers);
    }
    // The space bar, at a speed, by the pad's own clock.
    void send(const std::string& text) {
        KeyPad& pad = panel_->sending().pad();
        double now_s = 100.0;
        pad.now_s = [&now_s] { return now_s; };
        pad.setFocus();
        constexpr double kUnitS = 0.08;
        const auto elements = morse::timed_elements(text);
        ASSERT_TRUE(elements.ok());
        for (const morse::TimedElement& one : *elements) {
            const bool mark = morse::is_mark(one.kind);
            if (mark) QTest::keyPress(&pad, Qt::Key_Space);
            now_s += one.units * kUnitS;
            if (mark) QTest::keyRelease(&pad, Qt::Key_Space);
        }
        pad.now_s = steady_now_s;
    }

    QTemporaryDir folder_;
    Settings settings_{folder_.filePath("desk.ini")};
    AudioHub hub_;
    DeskState desk_{hub_, settings_};
    std::unique_ptr<PracticePanel> panel_;
    SilentSound* sound_ = nullptr;
};

TEST_F(PracticePanelTest, SendingByTheSpaceBarIsGraded) {
    press(Qt::Key_1, Qt::ControlModifier);
    press(Qt::Key_F6);
    EXPECT_TRUE(sound_->opened);
    EXPECT_TRUE(panel_->sending().pad().hasFocus());
    const std::string text = panel_->sending().drill().text();
    EXPECT_EQ(named<QPlainTextEdit>("Text to send")->toPlainText().toStdString(), text);
    send(text);
    EXPECT_EQ(sound_->keyed, 2 * static_cast<int>(panel_->sending().drill().marks()));
    for (int i = 0; i < 20; ++i) panel_->refresh();
    EXPECT_TRUE(named<QLabel>("What was sent so far")->text().startsWith("So far: "));
    press(Qt::Key_F6);
    EXPECT_TRUE(named<QPlainTextEdit>("Grade of the sending")
                    ->toPlainText()
                    .startsWith("Score 100 of 100.  25 of 25"))
        << named<QPlainTextEdit>("Grade of the sending")->toPlainText().toStdString();
}

TEST_F(PracticePanelTest, ASendingGoesToWhoeverShowsItAtLength) {
    std::string shown;
    std::size_t marks = 0;
    panel_->sending().on_sent = [&](const std::string& text, const auto& sent, double) {
        shown = text;
        marks = sent.size();
    };
    press(Qt::Key_1, Qt::ControlModifier);
    press(Qt::Key_F5);
    send(panel_->sending().drill().text());
    press(Qt::Key_F6);
    EXPECT_EQ(shown, panel_->sending().drill().text());
    EXPECT_EQ(marks, panel_->sending().drill().key_marks().size());
}

TEST_F(PracticePanelTest, HeldKeysThatRepeatAndALostFocusAreNoMarks) {
    press(Qt::Key_1, Qt::ControlModifier);
    press(Qt::Key_F6);
    KeyPad& pad = panel_->sending().pad();
    QTest::keyPress(&pad, Qt::Key_Space);
    QKeyEvent again(QEvent::KeyPress, Qt::Key_Space, Qt::NoModifier, " ", true);
    QApplication::sendEvent(&pad, &again);
    EXPECT_EQ(sound_->keyed, 1);
    named<QPlainTextEdit>("Text to send")->setFocus();
    EXPECT_EQ(sound_->keyed, 2);  // let go
}

TEST_F(PracticePanelTest, CopyingIsTypedMarkedAndTheNextLevelIsTaken) {
    press(Qt::Key_2, Qt::ControlModifier);
    press(Qt::Key_F6);
    EXPECT_EQ(sound_->played, 1);
    EXPECT_GT(sound_->peak, 0.05F);
    auto* typed = named<QPlainTextEdit>("Your copy: typed now, or afterwards from paper");
    EXPECT_TRUE(typed->hasFocus());
    EXPECT_FALSE(named<QPlainTextEdit>("Marks of the copy")->toPlainText().contains("sent"));
    press(Qt::Key_F7);
    EXPECT_EQ(sound_->played, 2);
    const double level = settings_.number("practice/level");
    QTest::keyClicks(typed, QString::fromStdString(panel_->copying().drill().sent()).toLower());
    press(Qt::Key_F6);
    EXPECT_TRUE(named<QPlainTextEdit>("Marks of the copy")->toPlainText().contains("25 of 25"));
    EXPECT_GT(settings_.number("practice/level"), level);
    EXPECT_TRUE(named<QLabel>("How the copying drill goes")->text().contains("100 % right"));
    panel_->refresh();
    press(Qt::Key_F6);
    press(Qt::Key_F6);  // nothing typed
    EXPECT_TRUE(named<QLabel>("How the copying drill goes")->text().contains("nothing was typed"));
}

TEST_F(PracticePanelTest, SettingUpFromTheQuestionsToTheCopy) {
    sound_->endless = true;
    press(Qt::Key_3, Qt::ControlModifier);
    press(Qt::Key_F6);
    auto* words = named<QLabel>("How the set-up drill goes");
    EXPECT_TRUE(words->text().contains("Open a plan")) << words->text().toStdString();
    ASSERT_TRUE(desk_.load_plan(QString(EXAMPLES) + "/hut-net.toml").ok());
    ASSERT_TRUE(desk_.load_receiver(QString(EXAMPLES) + "/saddle-hut.toml").ok());
    press(Qt::Key_F6);
    EXPECT_TRUE(named<QLabel>("The contact to set up")->text().contains("receives"));
    auto* division = named<QLineEdit>("Division of the dial, by the chart");
    division->setFocus();
    QTest::keyClicks(division, "120");
    press(Qt::Key_F6);
    EXPECT_TRUE(words->text().contains("allowed: 0 to 100")) << words->text().toStdString();
    division->clear();
    QTest::keyClicks(division, "50");
    press(Qt::Key_F6);
    auto* dial = named<DialView>("Dial: arrow keys or the wheel turn it");
    EXPECT_TRUE(dial->hasFocus());
    SetUpPractice& drill = panel_->setting_up().drill();
    const double before = drill.division();
    QTest::keyClick(dial, Qt::Key_Right);
    EXPECT_NEAR(drill.division(), before + 0.01, 1e-9);
    QTest::keyClick(dial, Qt::Key_Right, Qt::ControlModifier);
    EXPECT_NEAR(drill.division(), before + 0.11, 1e-9);
    QTest::keyClick(dial, Qt::Key_Left, Qt::ShiftModifier);
    EXPECT_NEAR(drill.division(), before + 0.109, 1e-9);
    QTest::keyClick(dial, Qt::Key_PageUp);
    EXPECT_NEAR(drill.division(), before + 1.109, 1e-9);
    QWheelEvent wheel({10, 10}, dial->mapToGlobal(QPointF(10, 10)), {}, {0, -240}, Qt::NoButton,
                      Qt::NoModifier, Qt::NoScrollPhase, false);
    QApplication::sendEvent(dial, &wheel);
    EXPECT_NEAR(drill.division(), before + 1.089, 1e-9);
    press(Qt::Key_F6);
    EXPECT_EQ(drill.phase(), SetUpPhase::sweeping);  // not here
    emit dial->turned(drill.dial()->base_division() - drill.division());
    press(Qt::Key_F6);
    EXPECT_TRUE(words->text().contains("is found")) << words->text().toStdString();
    QTest::keyClicks(named<QPlainTextEdit>("Your copy of the message"), "KXQMV");
    press(Qt::Key_F6);
    EXPECT_EQ(drill.phase(), SetUpPhase::marked);
    EXPECT_TRUE(named<QPlainTextEdit>("Marks of the settings and of the copy")
                    ->toPlainText()
                    .contains("characters right"));
}

TEST_F(PracticePanelTest, TheSoundIsSaidAndGivenBack) {
    panel_->refresh();
    auto* words = named<QLabel>("Sound of practice: limit, delay of the key");
    EXPECT_TRUE(words->text().contains("never beyond -30 dBFS; key to sound 34 ms"))
        << words->text().toStdString();
    named<QDoubleSpinBox>("Volume of practice, dBFS")->setValue(-20.0);
    EXPECT_EQ(sound_->configured.level_dbfs, -20.0);
    EXPECT_EQ(sound_->configured.limit_dbfs, -30.0);
    EXPECT_TRUE(words->text().contains("held at the limit"));
    sound_->failure = "no sound output is there";
    settings_.set("ears/limit_dbfs", -35.0);
    EXPECT_EQ(sound_->configured.limit_dbfs, -35.0);
    EXPECT_TRUE(words->text().contains("No sound: no sound output"));
    press(Qt::Key_1, Qt::ControlModifier);
    press(Qt::Key_F6);
    panel_->hide();
    EXPECT_FALSE(sound_->opened);
}

TEST_F(PracticePanelTest, EveryControlHasAName) {
    for (QWidget* widget : panel_->findChildren<QWidget*>()) {
        const bool is_control =
            qobject_cast<QAbstractButton*>(widget) != nullptr ||
            qobject_cast<QAbstractSpinBox*>(widget) != nullptr ||
            qobject_cast<QComboBox*>(widget) != nullptr ||
            qobject_cast<QPlainTextEdit*>(widget) != nullptr ||
            (qobject_cast<QLineEdit*>(widget) != nullptr &&
             qobject_cast<QAbstractSpinBox*>(widget->parentWidget()) == nullptr);
        if (!is_control || widget->parentWidget()->inherits("QTabBar")) continue;
        EXPECT_FALSE(widget->accessibleName().isEmpty() &&
                     widget->parentWidget()->accessibleName().isEmpty())
            << widget->metaObject()->className();
    }
    std::set<QString> keys;
    for (const KeyLine& line : PracticePanel::keys()) EXPECT_TRUE(keys.insert(line.keys).second);
}

// Pictures for the eye, where a folder is named.
TEST_F(PracticePanelTest, DrawsItselfLightAndDark) {
    ASSERT_TRUE(desk_.load_plan(QString(EXAMPLES) + "/hut-net.toml").ok());
    ASSERT_TRUE(desk_.load_receiver(QString(EXAMPLES) + "/saddle-hut.toml").ok());
    sound_->endless = true;
    panel_->resize(1000, 430);
    for (const bool dark : {false, true}) {
        settings_.set("look/dark", dark);
        const Theme theme = desk_.theme();
        QApplication::setPalette(theme.palette());
        qApp->setStyleSheet(theme.style_sheet());
        for (QWidget* part : panel_->findChildren<QWidget*>()) part->setFont(theme.body());
        panel_->restyle(theme);
        for (int drill = 0; drill < 3; ++drill) {
            press(static_cast<Qt::Key>(Qt::Key_1 + drill), Qt::ControlModifier);
            press(Qt::Key_F5);
            if (drill == 0) {
                send(panel_->sending().drill().text().substr(0, 18));
                press(Qt::Key_F6);
            }
            if (drill == 1) {
                QString copy = QString::fromStdString(panel_->copying().drill().sent());
                copy[2] = '_';
                copy[7] = 'S';
                QTest::keyClicks(
                    named<QPlainTextEdit>("Your copy: typed now, or afterwards from paper"), copy);
                press(Qt::Key_F6);
            }
            if (drill == 2) {
                QTest::keyClicks(named<QLineEdit>("Division of the dial, by the chart"), "45.2");
                press(Qt::Key_F6);
            }
            QTest::qWait(60);  // changed words are laid out
            panel_->refresh();
            const QImage image = panel_->grab().toImage();
            EXPECT_GT(image.width(), 900);
            // Paper and ink both show.
            int paper = 0, ink = 0;
            for (int x = 0; x < image.width(); x += 3) {
                for (int y = 0; y < image.height(); y += 3) {
                    const int light = image.pixelColor(x, y).lightness();
                    (light > 128 ? paper : ink) += 1;
                }
            }
            EXPECT_GT(std::min(paper, ink), 300);
            const QByteArray folder = qgetenv("PRACTICE_PICTURES");
            if (!folder.isEmpty())
                image.save(QString("%1/practice-%2-%3.png")
                               .arg(QString::fromUtf8(folder), dark ? "dark" : "light")
                               .arg(drill));
        }
    }
    qApp->setStyleSheet({});
}

}  // namespace
}  // namespace skedlark::gui
