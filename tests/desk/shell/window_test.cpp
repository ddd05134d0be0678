// The whole window by its keys, drawn off the screen.
#include "gui/shell/window.h"

#include <gtest/gtest.h>

#include <QAbstractButton>
#include <QApplication>
#include <QComboBox>
#include <QLabel>
#include <QLineEdit>
#include <QShortcut>
#include <QTabBar>
#include <QTemporaryDir>
#include <QTest>

#include "gui/shell/keys_page.h"

namespace skedlark::gui {
namespace {

constexpr auto kBench = static_cast<PageName>(4);  // the last page

class DeskWindow : public testing::Test {
 protected:
    DeskWindow() : settings_(folder_.filePath("desk.ini")), desk_(hub_, settings_) {
        window_ = std::make_unique<Window>(desk_);
        window_->show();
        EXPECT_TRUE(QTest::qWaitForWindowExposed(window_.get()));
    }
    void key(Qt::Key key, Qt::KeyboardModifiers with = Qt::NoModifier) {
        QTest::keyClick(window_.get(), key, with);
    }
    template <typename T>
    T* named(const QString& accessible_name) {
        for (T* widget : window_->findChildren<T*>()) {
            if (widget->accessibleName() == accessible_name) return widget;
        }
        ADD_FAILURE() << "no " << accessible_name.toStdString();
        return nullptr;
    }

    QTemporaryDir folder_;
    AudioHub hub_;
    Settings settings_;
    DeskState desk_;
    std::unique_ptr<Window> window_;
};

TEST_F(DeskWindow, EveryPageHasItsKey) {
    const std::pair<Qt::Key, PageName> keys[] = {{Qt::Key_2, PageName::sweep},
                                                 {Qt::Key_3, PageName::copy},
                                                 {Qt::Key_4, PageName::fist},
                                                 {Qt::Key_5, kBench},
                                                 {Qt::Key_1, PageName::plan}};
    for (const auto& [key_of_page, name] : keys) {
        key(key_of_page, Qt::AltModifier);
        EXPECT_TRUE(window_->page(name).isVisible());
    }
    key(Qt::Key_F1);
    EXPECT_TRUE(window_->findChild<KeysPage*>()->isVisible());
}

TEST_F(DeskWindow, ThePageOfKeysHoldsTheKeysOfEveryPage) {
    QStringList texts;
    for (const QLabel* label : window_->findChild<KeysPage*>()->findChildren<QLabel*>()) {
        texts << label->text();
    }
    for (const PageName name :
         {PageName::plan, PageName::sweep, PageName::copy, PageName::fist, kBench}) {
        for (const KeyLine& line : window_->page(name).keys()) {
            EXPECT_TRUE(texts.contains(line.keys)) << line.keys.toStdString();
            EXPECT_TRUE(texts.contains(line.does)) << line.does.toStdString();
        }
    }
}

// A key that two answer to answers to neither.
TEST_F(DeskWindow, NoTwoThingsOnAPageWantTheSameKey) {
    for (const PageName name :
         {PageName::plan, PageName::sweep, PageName::copy, PageName::fist, kBench}) {
        window_->show_page(name);
        QStringList keys;
        for (const QShortcut* shortcut : window_->findChildren<QShortcut*>()) {
            const auto* owner = qobject_cast<const QWidget*>(shortcut->parent());
            if (owner != nullptr && owner->isVisible()) keys << shortcut->key().toString();
        }
        for (const QAbstractButton* button : window_->findChildren<QAbstractButton*>()) {
            if (button->isVisible()) keys << button->shortcut().toString();
        }
        for (const QTabBar* tabs : window_->findChildren<QTabBar*>()) {
            for (int i = 0; tabs->isVisible() && i < tabs->count(); ++i) {
                keys << QKeySequence::mnemonic(tabs->tabText(i)).toString();
            }
        }
        for (const QLabel* label : window_->findChildren<QLabel*>()) {
            if (label->isVisible() && label->buddy() != nullptr) {
                keys << QKeySequence::mnemonic(label->text()).toString();
            }
        }
        keys.removeAll("");
        keys.sort();
        for (int i = 1; i < keys.size(); ++i) {
            EXPECT_NE(keys[i - 1], keys[i]) << "page " << static_cast<int>(name);
        }
    }
}

TEST_F(DeskWindow, EveryControlThatTakesTheFocusHasANameToBeReadOut) {
    for (const QWidget* widget : window_->findChildren<QWidget*>()) {
        const bool inner = widget->objectName().startsWith("qt_");  // parts of Qt's own controls
        if (inner || widget->focusPolicy() == Qt::NoFocus) continue;
        if (!widget->inherits("QAbstractButton") && !widget->inherits("QLineEdit") &&
            !widget->inherits("QComboBox") && !widget->inherits("QAbstractSpinBox") &&
            !widget->inherits("QAbstractItemView") && !widget->inherits("QTextEdit") &&
            !widget->inherits("QPlainTextEdit")) {
            continue;
        }
        const bool within_another = widget->parentWidget() != nullptr &&
                                    (widget->parentWidget()->inherits("QAbstractSpinBox") ||
                                     widget->parentWidget()->inherits("QComboBox") ||
                                     widget->parentWidget()->inherits("QHeaderView") ||
                                     widget->parentWidget()->inherits("QAbstractItemView") ||
                                     widget->parentWidget()->inherits("QComboBoxPrivateContainer"));
        if (within_another || widget->inherits("QHeaderView")) continue;
        EXPECT_FALSE(widget->accessibleName().isEmpty())
            << widget->metaObject()->className() << " in "
            << widget->parentWidget()->metaObject()->className();
    }
}

TEST_F(DeskWindow, AFileIsOpenedByKeysAlone) {
    settings_.set("input/pace", 0.0);
    key(Qt::Key_F, Qt::ControlModifier);
    auto* file = named<QLineEdit>("Sound file to listen to");
    ASSERT_NE(file, nullptr);
    EXPECT_TRUE(file->hasFocus());
    QTest::keyClicks(file, QString(RECORDINGS) + "/01-call-up-easy.flac");
    QTest::keyClick(file, Qt::Key_Enter);
    EXPECT_TRUE(QTest::qWaitFor([&] { return hub_.state().at_s > 0.5; }, 10000));
    key(Qt::Key_L, Qt::ControlModifier);
    EXPECT_EQ(hub_.state().phase, HubPhase::ended);
}

TEST_F(DeskWindow, APaceOfItsOwnIsKeptToo) {
    window_.reset();
    settings_.set("input/pace", 20.0);
    window_ = std::make_unique<Window>(desk_);
    window_->input().choose_file(QString(RECORDINGS) + "/01-call-up-easy.flac");
    window_->input().listen();
    EXPECT_TRUE(QTest::qWaitFor([&] { return hub_.state().phase == HubPhase::ended; }, 15000));
}

TEST_F(DeskWindow, AFileThatIsNoneIsToldInPlace) {
    key(Qt::Key_F, Qt::ControlModifier);
    auto* file = named<QLineEdit>("Sound file to listen to");
    ASSERT_NE(file, nullptr);
    QTest::keyClicks(file, folder_.filePath("none.flac"));
    QTest::keyClick(file, Qt::Key_Enter);
    auto* words = named<QLabel>("How the input goes");
    ASSERT_NE(words, nullptr);
    EXPECT_TRUE(QTest::qWaitFor([&] { return words->text().contains("none.flac"); }, 10000))
        << words->text().toStdString();
    EXPECT_EQ(QApplication::activeModalWidget(), nullptr);
}

TEST_F(DeskWindow, FitsASmallScreenAtNormalTypeAndKeepsItsSizeWhenMessagesAreLong) {
    EXPECT_LE(window_->minimumSizeHint().width(), 1024);
    EXPECT_LE(window_->minimumSizeHint().height(), 600);
    desk_.say(QString(2000, 'x'));
    QApplication::processEvents();
    EXPECT_LE(window_->minimumSizeHint().width(), 1024);
}

TEST_F(DeskWindow, DarkAndLargeTypeByKeys) {
    const QColor light = QApplication::palette().color(QPalette::Window);
    const double size = QApplication::font().pointSizeF();
    key(Qt::Key_D, Qt::ControlModifier);
    key(Qt::Key_Plus, Qt::ControlModifier);
    EXPECT_NE(QApplication::palette().color(QPalette::Window), light);
    EXPECT_GT(QApplication::font().pointSizeF(), size);
    settings_.reset();
    EXPECT_EQ(QApplication::palette().color(QPalette::Window), light);
}

TEST_F(DeskWindow, HeadphonesAreOffUntilAskedForAndThenComeWithTheCaution) {
    EXPECT_FALSE(settings_.on("ears/on"));
    key(Qt::Key_H, Qt::ControlModifier);
    EXPECT_TRUE(settings_.on("ears/on"));
    auto* message = named<QLabel>("Message");
    ASSERT_NE(message, nullptr);
    EXPECT_TRUE(message->text().contains("harms hearing"));
    key(Qt::Key_H, Qt::ControlModifier);
    EXPECT_FALSE(settings_.on("ears/on"));
}

}  // namespace
}  // namespace skedlark::gui
