// The Sweep page: the picture along the dial with the where-is-it curve under it, what leads the hand,
// the stations met, the way back to one of them.
//
// Stage:   gui/sweep. In: DeskState, the hub's audio. Out: the pitch to copy at, once a station is
//          held there; a click at each division, where the setting is on.
// Errors:  stand in the line of words under the fields.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp
#pragma once

#include <QLabel>
#include <QPushButton>
#include <QShortcut>
#include <QStackedWidget>
#include <functional>

#include "gui/common/page.h"
#include "gui/sweep/pace_light.h"
#include "gui/sweep/station_table.h"
#include "gui/sweep/sweep_controls.h"
#include "gui/sweep/sweep_model.h"
#include "gui/sweep/sweep_picture.h"
#include "gui/sweep/where_curve.h"
#include "gui/sweep/zero_in_readout.h"

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
    [[nodiscard]] const SweepModel& model() const { return model_; }

    // Called at each division due while sweep/click is on.
    std::function<void()> on_click;

 private:
    void make_layout();
    void make_keys();
    void take_receiver();
    void take_contact();
    void take_fields();
    void start_or_stop();
    void zero_in(std::size_t index);
    void take_next();
    void show_setup();
    void say(const QString& problem);  // "" again shows the state

    SweepModel model_;
    SweepControls* controls_;
    QLabel* words_;
    SweepPicture* picture_;
    WhereCurve* curve_;
    QLabel* map_words_;
    QPushButton* next_;
    StationTable* table_;
    QStackedWidget* lead_;
    PaceLight* light_;
    ZeroInReadout* readout_;
    QShortcut* mark_ = nullptr;
    QShortcut* take_back_ = nullptr;
    QString problem_;
};

}  // namespace skedlark::gui
