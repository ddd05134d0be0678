// The result: every figure with its limit and verdict, remarks, where it can be saved.
//
// Stage:   gui/bench. In: the model. Out: files: the result, a chain, a corrected receiver, a sheet.
// Errors:  those of writing, in place.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/bench/bench_page_test.cpp
#pragma once

#include <QComboBox>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <functional>

#include "gui/bench/bench_model.h"
#include "gui/common/row_table.h"

namespace skedlark::gui {

class ResultPanel : public QWidget {
    Q_OBJECT

 public:
    explicit ResultPanel(QWidget* parent = nullptr);
    void restyle(const Theme& theme);
    void show_model(const BenchModel& model);
    void say(const QString& text);
    void offer_sheet(bool there_is_one) { sheet_->setVisible(there_is_one); }
    void ask_for_path();
    [[nodiscard]] QString path() const { return path_->text().trimmed(); }

 signals:
    void save_wanted();
    void sheet_wanted();
    void chain_wanted();
    void receiver_wanted();

 private:
    QLabel* verdict_;
    RowTable* table_;
    QLabel* remarks_;
    QLineEdit* path_;
    QPushButton* save_;
    QPushButton* sheet_;
    QPushButton* chain_;
    QPushButton* receiver_;
    QLabel* said_;
    const void* shown_ = nullptr;
    int results_ = -1;
    std::string test_;
};

}  // namespace skedlark::gui
