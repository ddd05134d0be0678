// Stations met, as a table that is worked by keys: arrows choose a line, Enter begins the way back.
//
// Stage:   gui/sweep. In: StationRow. Out: wanted(index).
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp
#pragma once

#include <QTableWidget>
#include <vector>

#include "gui/common/theme.h"
#include "gui/sweep/station_rows.h"

namespace skedlark::gui {

class StationTable : public QTableWidget {
    Q_OBJECT

 public:
    explicit StationTable(QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    // Lines are added and changed, and a chosen one stays chosen.
    void show_rows(const std::vector<StationRow>& rows);
    [[nodiscard]] QSize sizeHint() const override;
    [[nodiscard]] QSize minimumSizeHint() const override;

 signals:
    void wanted(std::size_t index);

 protected:
    void keyPressEvent(QKeyEvent* event) override;
};

}  // namespace skedlark::gui
