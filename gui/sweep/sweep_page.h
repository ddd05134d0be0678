// The Sweep page: the picture along the dial with the where-is-it curve, the pace, the stations met,
// the way back to one.
//
// Stage:   gui/sweep. In: the desk's audio and receiver, keys. Out: a wanted pitch, the copy page.
// Units:   as shown.
// Shape:   one sweep at a time; it is over when stopped, and what was heard until then counts.
// Time:    refresh() takes snapshots.
// Errors:  on the page, in the line under the readouts.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp
#pragma once

#include <QLabel>
#include <QPushButton>
#include <QTableWidget>
#include <functional>
#include <memory>

#include "gui/common/page.h"
#include "gui/sweep/readouts.h"
#include "gui/sweep/sweep_controls.h"
#include "gui/sweep/sweep_picture.h"
#include "gui/sweep/where_curve.h"

namespace skedlark::gui {

class SweepPage : public Page {
    Q_OBJECT

 public:
    explicit SweepPage(DeskState& desk, QWidget* parent = nullptr);
    ~SweepPage() override;

    [[nodiscard]] QString title() const override { return tr("Sweep"); }
    [[nodiscard]] std::vector<KeyLine> keys() const override;
    void refresh(bool shown) override;
    void restyle() override;

    void start();
    void stop();
    void zero_in(int row);
    // Called at each division or rest, where clicks are wanted; whoever plays sound sets it.
    std::function<void()> on_click{};

 protected:
    bool eventFilter(QObject* watched, QEvent* event) override;
    void keyPressEvent(QKeyEvent* event) override;

 private:
    void lay_out();
    bool take_key(const QKeyEvent& event);
    void show_sweep();
    void show_zero_in();
    void fill_table(const std::vector<StationRow>& rows);
    [[nodiscard]] bool running() const;

    SweepControls* controls_;
    QPushButton* start_;
    SweepPicture* picture_;
    WhereCurve* curve_;
    Readout* pace_;
    Readout* way_back_;
    QTableWidget* table_;
    QLabel* caution_;
    QLabel* says_;
    QLabel* map_says_;
    std::shared_ptr<SweepUser> sweep_;
    std::shared_ptr<ZeroInUser> zero_in_;
    std::vector<StationRow> rows_;
    int clicks_ = 0;
    bool pitch_told_ = false;
};

}  // namespace skedlark::gui
