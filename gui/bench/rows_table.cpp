#include "gui/bench/rows_table.h"

#include <QHeaderView>

namespace skedlark::gui {

RowsTable::RowsTable(const QStringList& headings, const QString& name, QWidget* parent)
    : QTableWidget(0, static_cast<int>(headings.size()), parent) {
    setAccessibleName(name);
    setHorizontalHeaderLabels(headings);
    verticalHeader()->hide();
    horizontalHeader()->setSectionResizeMode(QHeaderView::ResizeToContents);
    horizontalHeader()->setStretchLastSection(true);
    horizontalHeader()->setHighlightSections(false);
    horizontalHeader()->setDefaultAlignment(Qt::AlignLeft | Qt::AlignVCenter);
    setSelectionBehavior(QAbstractItemView::SelectRows);
    setSelectionMode(QAbstractItemView::SingleSelection);
    setEditTriggers(QAbstractItemView::NoEditTriggers);
    setTabKeyNavigation(false);
    setShowGrid(false);
}

void RowsTable::restyle(const Theme& theme) {
    setFont(theme.body());
    horizontalHeader()->setFont(theme.body());
    verticalHeader()->setDefaultSectionSize(QFontMetrics(theme.body()).height() + 4);
}

void RowsTable::show_rows(const std::vector<QStringList>& rows) {
    setRowCount(static_cast<int>(rows.size()));
    for (int r = 0; r < rowCount(); ++r) {
        const QStringList& row = rows[static_cast<std::size_t>(r)];
        for (int c = 0; c < columnCount() && c < row.size(); ++c) {
            if (item(r, c) == nullptr) setItem(r, c, new QTableWidgetItem);
            if (item(r, c)->text() != row[c]) item(r, c)->setText(row[c]);
            item(r, c)->setToolTip(row[c]);
        }
    }
    if (rowCount() > 0 && currentRow() < 0) setCurrentCell(0, 0);
}

}  // namespace skedlark::gui
