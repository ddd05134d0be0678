// Saving: a line for the path, Return, and what came of it in place.
//
// Stage:   gui/copy. In: what is to be written, by format. Out: a whole file, or none.
// Shape:   a file that is there is written over only after a second Return.
// Errors:  in the line below the path; what stood there is kept.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/copy/copy_page_test.cpp
#pragma once

#include <QComboBox>
#include <QLabel>
#include <QLineEdit>
#include <functional>

namespace skedlark::gui {

enum class SaveAs { text, json, sheet };

class SavePanel : public QWidget {
    Q_OBJECT

 public:
    explicit SavePanel(QWidget* parent = nullptr);

    std::function<std::string(SaveAs)> content;
    // Where a bare name is put, and the name offered.
    void offer(const QString& folder, const QString& base);
    void take_focus() { path_->setFocus(); }

 signals:
    void saved(const QString& path);

 private:
    void save();
    void offer_name();

    QComboBox* format_;
    QLineEdit* path_;
    QLabel* state_;
    QString folder_;
    QString base_;
    QString asked_;  // the path a second Return writes over
};

}  // namespace skedlark::gui
