#include "gui/common/row_table.h"

#include <QHeaderView>
#include <QKeyEvent>

namespace skedlark::gui {

RowTable::RowTable(const QString& name, const QStringList& headings, QWidget* parent)
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
    setHorizontalScrollMode(QAbstractItemView::ScrollPerPixel);
    connect(this, &QTableWidget::currentCellChanged, this, [this](int row, int, int before, int) {
        if (row != before && row >= 0) emit pointed(row);
    });
    connect(this, &QTableWidget::cellClicked, this, [this](int row, int) { emit chosen(row); });
}

void RowTable::restyle(const Theme& theme) {
    setFont(theme.body());
    horizontalHeader()->setFont(theme.body());
    verticalHeader()->setDefaultSectionSize(QFontMetrics(theme.body()).height() + 4);
    updateGeometry();
}

void RowTable::show_rows(const std::vector<std::vector<std::string>>& rows) {
    const int count = static_cast<int>(rows.size());
    if (rowCount() != count) setRowCount(count);
    for (int i = 0; i < count; ++i) {
        const auto& row = rows[static_cast<std::size_t>(i)];
        for (int column = 0; column < columnCount(); ++column) {
            const auto at = static_cast<std::size_t>(column);
            const QString text = at < row.size() ? QString::fromStdString(row[at]) : QString();
            if (item(i, column) == nullptr) setItem(i, column, new QTableWidgetItem);
            if (item(i, column)->text() == text) continue;
            item(i, column)->setText(text);
            item(i, column)->setToolTip(text);
        }
    }
}

QSize RowTable::sizeHint() const { return {360, 7 * (QFontMetrics(font()).height() + 4)}; }

QSize RowTable::minimumSizeHint() const { return {200, 4 * (QFontMetrics(font()).height() + 4)}; }

void RowTable::keyPressEvent(QKeyEvent* event) {
    const bool enters = event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter;
    if (enters && event->modifiers() == Qt::NoModifier && currentRow() >= 0) {
        emit chosen(currentRow());
        return;
    }
    QTableWidget::keyPressEvent(event);
}

}  // namespace skedlark::gui
