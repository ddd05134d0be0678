// The fields of a sweep: band, stretch, way, pace, the frequency wanted.
//
// Stage:   gui/sweep. In: a setup to show. Out: the setup as typed.
// Units:   divisions, kHz/s, seconds, kHz, as the labels say.
// Errors:  read() names the field, what stands in it and what is allowed.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/sweep/sweep_page_test.cpp
#pragma once

#include <QCheckBox>
#include <QComboBox>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QWidget>
#include <vector>

#include "gui/common/theme.h"
#include "gui/sweep/sweep_setup.h"

namespace skedlark::gui {

class SweepControls : public QWidget {
    Q_OBJECT

 public:
    explicit SweepControls(QWidget* parent = nullptr);

    void restyle(const Theme& theme);
    void set_receiver(const std::optional<dial::Receiver>& receiver);
    void show_setup(const SweepSetup& setup, const QString& pace_words);
    // As typed, over `now`.
    [[nodiscard]] Result<SweepSetup> read(const SweepSetup& now) const;
    // While a sweep goes on its fields are not to be changed.
    void set_active(bool active);
    void set_contact(bool there_is_one);
    void set_click(bool on);

 signals:
    void edited();
    void start_wanted();
    void contact_wanted();
    void click_wanted(bool on);

 protected:
    bool eventFilter(QObject* watched, QEvent* event) override;

 private:
    QWidget* add_pair(const QString& label, QWidget* control);
    QLineEdit* add_field(const QString& label, const QString& name);
    void show_way(SweepWay way);
    [[nodiscard]] SweepWay way() const;

    QComboBox* band_;
    QComboBox* way_;
    QLineEdit* from_ = nullptr;
    QLineEdit* to_ = nullptr;
    QLineEdit* pace_ = nullptr;
    QLineEdit* step_ = nullptr;
    QLineEdit* rest_ = nullptr;
    QLineEdit* wanted_ = nullptr;
    QLabel* pace_words_;
    QCheckBox* click_;
    QPushButton* contact_;
    QPushButton* start_;
    std::vector<std::pair<QLineEdit*, QWidget*>> fields_;  // with what is shown and hidden
    double low_div_ = 0.0;
    double high_div_ = 100.0;
    bool contact_there_ = false;
    bool active_ = false;
    bool has_receiver_ = false;
};

}  // namespace skedlark::gui
