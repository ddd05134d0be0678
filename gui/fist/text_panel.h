// The text that is meant: typed here, read from a file, or the fixed test; to be read while sending.
//
// Stage:   gui/fist. In: typing, a file. Out: its bytes.
// Errors:  in the line under the text.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/fist/fist_page_test.cpp
#pragma once

#include <QLabel>
#include <QLineEdit>
#include <QPlainTextEdit>
#include <QPushButton>

#include "gui/common/theme.h"

namespace skedlark::gui {

class TextPanel : public QWidget {
    Q_OBJECT

 public:
    explicit TextPanel(QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    [[nodiscard]] QString text() const { return text_->toPlainText(); }
    void set_text(const QString& text) { text_->setPlainText(text); }
    void say(const QString& words) { said_->setText(words); }

 signals:
    void changed();
    // Bytes as they stand in the file: another encoding is named, not guessed at.
    void file_read(const QByteArray& bytes, const QString& name);

 private:
    void read_file();

    QPlainTextEdit* text_;
    QPushButton* test_;
    QPushButton* clear_;
    QLineEdit* path_;
    QLabel* said_;
};

}  // namespace skedlark::gui
