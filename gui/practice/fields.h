// Controls with their words before them, in lines that wrap; how the drills lay out theirs.
//
// Stage:   gui/practice. In: labels and controls. Out: pairs in a FlowLayout.
// Errors:  none.
// Threads: the window's.
// Source:  none
// Checked: tests/desk/practice/practice_panel_test.cpp
#pragma once

#include <QComboBox>
#include <QDoubleSpinBox>
#include <QLabel>
#include <QPlainTextEdit>
#include <QPushButton>
#include <QString>
#include <QWidget>

namespace skedlark::gui {

// Adds "label control" to the parent's layout; the control is named `name` for those who cannot see it.
QWidget* add_pair(QWidget& parent, const QString& label, QWidget& control, const QString& name);
QDoubleSpinBox* number_field(double low, double high, double step, int places, QWidget* parent);
// Words that wrap, read only.
QLabel* words_of(const QString& name, QWidget* parent);
QPlainTextEdit* page_of(const QString& name, bool read_only, QWidget* parent);
QPushButton* button_of(const QString& text, const QString& name, QWidget* parent);
// The kinds of text there are, their names as data.
QComboBox* kind_field(QWidget* parent);

}  // namespace skedlark::gui
