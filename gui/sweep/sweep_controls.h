// What is set before a sweep: band, wanted frequency, stretch, way of the dial, pace.
//
// Stage:   gui/sweep. In: receiver, card, settings. Out: a setup.
// Units:   divisions, kilohertz, kilohertz a second.
// Errors:  the setup's own checks; shown by the page.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp
#pragma once

#include <QCheckBox>
#include <QComboBox>
#include <QDoubleSpinBox>
#include <QLabel>
#include <QWidget>

#include "gui/common/desk_state.h"
#include "gui/sweep/sweep_setup.h"

namespace skedlark::gui {

class SweepControls : public QWidget {
    Q_OBJECT

 public:
    explicit SweepControls(DeskState& desk, QWidget* parent = nullptr);

    void take_receiver();
    void take_card();
    [[nodiscard]] Result<dial::Dial> dial() const;
    [[nodiscard]] SweepSetup setup(bool live, const dial::Dial& dial) const;
    [[nodiscard]] bool clicks() const { return click_->isChecked(); }

 private:
    QDoubleSpinBox* number(const QString& name, double low, double high, int decimals);
    void say_pace();

    DeskState& desk_;
    QComboBox* band_;
    QComboBox* way_;
    QDoubleSpinBox* wanted_;
    QDoubleSpinBox* from_;
    QDoubleSpinBox* to_;
    QDoubleSpinBox* pace_;
    QCheckBox* click_;
    QLabel* safe_;
};

}  // namespace skedlark::gui
