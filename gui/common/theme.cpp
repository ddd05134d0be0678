#include "gui/common/theme.h"

#include <QFontDatabase>
#include <algorithm>
#include <cmath>

namespace skedlark::gui {

namespace {

// Blue-black ink on unbleached paper; at night the paper is the ink's and the ink the paper's.
const QColor kInk(0x16, 0x24, 0x3a);
const QColor kPaper(0xf7, 0xf4, 0xec);
const QColor kNightPaper(0x10, 0x17, 0x22);
const QColor kNightInk(0xdf, 0xe6, 0xf0);

int between(int from, int to, double share) {
    return static_cast<int>(std::lround(from + share * (to - from)));
}

}  // namespace

QColor Theme::paper() const { return dark_ ? kNightPaper : kPaper; }

QColor Theme::ink(double strength) const {
    const QColor from = paper();
    const QColor to = dark_ ? kNightInk : kInk;
    const double share = std::clamp(strength, 0.0, 1.0);
    return {between(from.red(), to.red(), share), between(from.green(), to.green(), share),
            between(from.blue(), to.blue(), share)};
}

QPalette Theme::palette() const {
    QPalette colours;
    for (const auto group : {QPalette::Active, QPalette::Inactive, QPalette::Disabled}) {
        const double strength = group == QPalette::Disabled ? kFaint : 1.0;
        colours.setColor(group, QPalette::Window, paper());
        colours.setColor(group, QPalette::Base, paper());
        colours.setColor(group, QPalette::AlternateBase, ink(kWash));
        colours.setColor(group, QPalette::Button, ink(kWash));
        colours.setColor(group, QPalette::ToolTipBase, paper());
        colours.setColor(group, QPalette::WindowText, ink(strength));
        colours.setColor(group, QPalette::Text, ink(strength));
        colours.setColor(group, QPalette::ButtonText, ink(strength));
        colours.setColor(group, QPalette::ToolTipText, ink());
        colours.setColor(group, QPalette::PlaceholderText, ink(kFaint));
        colours.setColor(group, QPalette::Highlight, ink());
        colours.setColor(group, QPalette::HighlightedText, paper());
        colours.setColor(group, QPalette::Link, ink());
        colours.setColor(group, QPalette::LinkVisited, ink());
        colours.setColor(group, QPalette::Light, ink(kWash));
        colours.setColor(group, QPalette::Midlight, ink(kRule));
        colours.setColor(group, QPalette::Mid, ink(kRule));
        colours.setColor(group, QPalette::Dark, ink(kFaint));
        colours.setColor(group, QPalette::Shadow, ink(kFaint));
    }
    return colours;
}

QString Theme::style_sheet() const {
    return QString(
               "QPushButton, QToolButton { border: 1px solid %1; padding: 4px 10px; "
               "background: %3; }"
               "QPushButton:checked, QToolButton:checked { background: %2; color: %4; }"
               "QPushButton:pressed { background: %1; }"
               "QPushButton:disabled { color: %1; border-color: %5; }"
               "QPushButton:focus, QToolButton:focus, QCheckBox:focus, QComboBox:focus, "
               "QLineEdit:focus, QDoubleSpinBox:focus, QSpinBox:focus, QListView:focus, "
               "QTableView:focus, QPlainTextEdit:focus, QSlider:focus "
               "{ outline: none; border: 2px solid %2; }"
               "QLineEdit, QComboBox, QSpinBox, QDoubleSpinBox, QPlainTextEdit, QTableView, "
               "QListView { border: 1px solid %1; background: %4; }"
               "QCheckBox::indicator { width: 0.9em; height: 0.9em; border: 2px solid %2; "
               "background: %4; }"
               "QCheckBox::indicator:checked { background: %2; }"
               "QCheckBox::indicator:disabled { border-color: %1; }"
               "QToolTip { border: 1px solid %2; background: %4; color: %2; }")
        .arg(ink(kFaint).name(), ink().name(), ink(kWash).name(), paper().name(),
             ink(kRule).name());
}

QFont Theme::font(double points) const {
    QFont face = QFontDatabase::systemFont(QFontDatabase::GeneralFont);
    face.setPointSizeF(points * type_percent_ / 100.0);
    return face;
}

QFont Theme::copy_text() const {
    QFont face = QFontDatabase::systemFont(QFontDatabase::FixedFont);
    face.setPointSizeF(14.0 * type_percent_ / 100.0);
    return face;
}

}  // namespace skedlark::gui
