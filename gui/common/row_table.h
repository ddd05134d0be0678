// A table of words, worked by keys.
//
// Stage:   gui/common. In: a name, headings, rows of texts. Out: what is chosen.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/fist/fist_page_test.cpp, tests/desk/bench/bench_page_test.cpp
#pragma once

#include <QTableWidget>
#include <string>
#include <vector>

#include "gui/common/theme.h"

namespace skedlark::gui {

class RowTable : public QTableWidget {
    Q_OBJECT

 public:
    RowTable(const QString& name, const QStringList& headings, QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    void show_rows(const std::vector<std::vector<std::string>>& rows);
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override;

 signals:
    void pointed(int row);  // the row under the cursor became another one
    void chosen(int row);   // by Return or the mouse

 protected:
    void keyPressEvent(QKeyEvent* event) override;
};

}  // namespace skedlark::gui
