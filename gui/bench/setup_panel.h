// What holds for every test: limits, measuring chain, names, the log.
//
// Stage:   gui/bench. In and out: BenchSetup, kept in the settings.
// Errors:  none here: a file is read, and named where it is wrong, when a test is measured.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/bench/bench_page_test.cpp
#pragma once

#include <QLineEdit>
#include <QWidget>
#include <vector>

#include "gui/bench/bench_model.h"
#include "gui/common/settings.h"

namespace skedlark::gui {

[[nodiscard]] BenchSetup setup_of(const Settings& settings);

class SetupPanel : public QWidget {
    Q_OBJECT

 public:
    explicit SetupPanel(Settings& settings, QWidget* parent = nullptr);
    void show_settings();

 signals:
    void edited();

 private:
    Settings& settings_;
    std::vector<std::pair<const char*, QLineEdit*>> fields_;
};

}  // namespace skedlark::gui
