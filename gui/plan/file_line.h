// A line to open and save a file in place: its path, what it is called, whether it is saved.
//
// Stage:   gui/plan. In: keys. Out: the path wanted.
// Shape:   Enter in the path opens; what goes wrong stands below it until the next try.
// Threads: the window's.
// Checked: tests/desk/plan/plan_page_test.cpp
#pragma once

#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QWidget>

namespace skedlark::gui {

class FileLine : public QWidget {
    Q_OBJECT

 public:
    // what: "plan"; names the controls.
    FileLine(const QString& what, QWidget* parent = nullptr);

    // With ~ as the home folder.
    [[nodiscard]] QString path() const;
    void set_path(const QString& path) { path_->setText(path); }
    void set_word(const QString& word) { word_->setText(word); }
    void set_problem(const QString& problem);
    void ask() const;  // the cursor into the path, all of it chosen

 signals:
    void open_wanted(const QString& path);
    void save_wanted(const QString& path);

 private:
    QLineEdit* path_;
    QPushButton* open_;
    QPushButton* save_;
    QLabel* word_;
    QLabel* problem_;
};

}  // namespace skedlark::gui
