// The page of settings: a line for each of the table, and a button that sets all back.
//
// Stage:   gui/shell. In and out: Settings.
// Checked: tests/desk/shell/window_test.cpp
#pragma once

#include <QMap>
#include <QScrollArea>

#include "gui/common/settings.h"

namespace skedlark::gui {

class SettingsPage : public QScrollArea {
    Q_OBJECT

 public:
    explicit SettingsPage(Settings& settings, QWidget* parent = nullptr);

 private:
    QWidget* editor_for(const SettingInfo& info);
    void show_value(const QString& key);

    Settings& settings_;
    QMap<QString, QWidget*> editors_;
};

}  // namespace skedlark::gui
