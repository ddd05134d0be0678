// The chart of a band with today's correction; known stations are added and removed here.
//
// Stage:   gui/plan. In: the desk's receiver and known stations. Out: known stations; a picture file.
// Shape:   above: MHz by division. Below: divisions off the chart with the 95 % band.
// Errors:  shown in place.
// Threads: the window's.
// Checked: tests/desk/plan/chart_view_test.cpp
#pragma once

#include <QChartView>
#include <QComboBox>
#include <QLabel>
#include <QLineEdit>
#include <QListWidget>
#include <QPushButton>
#include <QTimer>
#include <QWidget>

#include "gui/common/desk_state.h"
#include "gui/plan/chart_model.h"

namespace skedlark::gui {

class ChartView : public QWidget {
    Q_OBJECT

 public:
    explicit ChartView(DeskState& desk, QWidget* parent = nullptr);

    void restyle();
    // To the path in the line; SVG or PNG by its ending.
    void save_picture();

 protected:
    void resizeEvent(QResizeEvent* event) override;

 private:
    QWidget* make_side();
    void take_receiver();
    void redraw();
    void add_known();
    void remove_known();
    void draw(QChart& chart, const ChartPicture& picture, bool upper) const;

    DeskState& desk_;
    QTimer resized_;
    QComboBox* band_;
    QLineEdit* entry_;
    QListWidget* known_;
    QPushButton* remove_;
    QLineEdit* path_;
    QPushButton* save_;
    QLabel* words_;
    QLabel* problem_;
    QChartView* upper_;
    QChartView* lower_;
};

}  // namespace skedlark::gui
