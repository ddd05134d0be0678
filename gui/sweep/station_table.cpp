#include "gui/sweep/station_table.h"

#include <QHeaderView>
#include <QKeyEvent>

namespace skedlark::gui {

namespace {
constexpr int kColumns = 7;
constexpr int kRowsShown = 4;
}  // namespace

StationTable::StationTable(QWidget* parent) : QTableWidget(0, kColumns, parent) {
    setAccessibleName(tr("Stations met"));
    setHorizontalHeaderLabels({tr("No."), tr("Division, 95 %"), tr("MHz"), tr("Kind"),
                               tr("SNR, dB"), tr("Odds"), tr("Call")});
    horizontalHeaderItem(5)->setToolTip(tr("Odds of a false alarm: that noise alone did it"));
    verticalHeader()->hide();
    horizontalHeader()->setSectionResizeMode(QHeaderView::ResizeToContents);
    horizontalHeader()->setStretchLastSection(true);
    horizontalHeader()->setHighlightSections(false);
    horizontalHeader()->setDefaultAlignment(Qt::AlignLeft | Qt::AlignVCenter);
    setSelectionBehavior(QAbstractItemView::SelectRows);
    setSelectionMode(QAbstractItemView::SingleSelection);
    setEditTriggers(QAbstractItemView::NoEditTriggers);
    setTabKeyNavigation(false);
    setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
    setShowGrid(false);
    connect(this, &QTableWidget::cellDoubleClicked, this,
            [this](int row, int) { emit wanted(static_cast<std::size_t>(row)); });
}

void StationTable::restyle(const Theme& theme) {
    setFont(theme.body());
    horizontalHeader()->setFont(theme.body());
    verticalHeader()->setDefaultSectionSize(QFontMetrics(theme.body()).height() + 4);
    updateGeometry();
}

void StationTable::show_rows(const std::vector<StationRow>& rows) {
    const int count = static_cast<int>(rows.size());
    if (rowCount() != count) setRowCount(count);
    for (int i = 0; i < count; ++i) {
        const StationRow& row = rows[static_cast<std::size_t>(i)];
        const std::string number = std::to_string(row.number) + (row.go_back ? "!  best" : "");
        const std::string texts[kColumns] = {number,  row.division, row.mhz, row.word,
                                             row.snr, row.odds,     row.call};
        for (int column = 0; column < kColumns; ++column) {
            const QString text = QString::fromStdString(texts[column]);
            if (item(i, column) == nullptr) setItem(i, column, new QTableWidgetItem(text));
            if (item(i, column)->text() != text) item(i, column)->setText(text);
        }
    }
    if (count > 0 && currentRow() < 0) setCurrentCell(0, 0);
}

QSize StationTable::sizeHint() const {
    const int line = QFontMetrics(font()).height() + 4;
    return {560, (kRowsShown + 1) * line + 10};
}

QSize StationTable::minimumSizeHint() const {
    return {300, 3 * (QFontMetrics(font()).height() + 4)};
}

void StationTable::keyPressEvent(QKeyEvent* event) {
    if ((event->key() == Qt::Key_Return || event->key() == Qt::Key_Enter) && currentRow() >= 0) {
        emit wanted(static_cast<std::size_t>(currentRow()));
        return;
    }
    // The space bar marks a division, here as everywhere on the page; S starts and stops.
    if (event->key() == Qt::Key_Space || !event->text().trimmed().isEmpty()) {
        event->ignore();
        return;
    }
    QTableWidget::keyPressEvent(event);
}

}  // namespace skedlark::gui
