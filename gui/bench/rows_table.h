// A table to be read: rows of texts under headings.
//
// Stage:   gui/bench. In: headings, rows. Out: painted; worked by the arrow keys.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/bench/bench_page_test.cpp
#pragma once

#include <QStringList>
#include <QTableWidget>
#include <vector>

#include "gui/common/theme.h"

namespace skedlark::gui {

class RowsTable : public QTableWidget {
    Q_OBJECT

 public:
    RowsTable(const QStringList& headings, const QString& name, QWidget* parent = nullptr);
    void restyle(const Theme& theme);
    void show_rows(const std::vector<QStringList>& rows);
    [[nodiscard]] QSize sizeHint() const override { return {500, 140}; }
    [[nodiscard]] QSize minimumSizeHint() const override { return {200, 70}; }
};

}  // namespace skedlark::gui
