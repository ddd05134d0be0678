#include "gui/shell/settings_page.h"

#include <QCheckBox>
#include <QDoubleSpinBox>
#include <QFormLayout>
#include <QLabel>
#include <QLineEdit>
#include <QPushButton>
#include <QSignalBlocker>
#include <QSpinBox>

namespace skedlark::gui {

SettingsPage::SettingsPage(Settings& settings, QWidget* parent)
    : QScrollArea(parent), settings_(settings) {
    auto* inside = new QWidget(this);
    auto* form = new QFormLayout(inside);
    form->setRowWrapPolicy(QFormLayout::WrapLongRows);
    for (const SettingInfo& info : settings_table()) {
        QWidget* editor = editor_for(info);
        editor->setAccessibleName(info.label);
        form->addRow(info.label, editor);
        editors_[info.key] = editor;
        show_value(info.key);
    }
    auto* caution = new QLabel(
        tr("Headphones: loud sound harms hearing. Begin with a low limit and raise it little by "
           "little."),
        inside);
    caution->setWordWrap(true);
    form->addRow(caution);
    auto* reset = new QPushButton(tr("Set &all back as they came"), inside);
    reset->setAccessibleName(tr("Set all settings back"));
    form->addRow(reset);
    connect(reset, &QPushButton::clicked, &settings_, &Settings::reset);
    connect(&settings_, &Settings::changed, this, &SettingsPage::show_value);
    setWidget(inside);
    setWidgetResizable(true);
    setFrameShape(QFrame::NoFrame);
    setAccessibleName(tr("Settings"));
}

QWidget* SettingsPage::editor_for(const SettingInfo& info) {
    const char* key = info.key;
    switch (info.standard.typeId()) {
        case QMetaType::Bool: {
            auto* box = new QCheckBox(this);
            connect(box, &QCheckBox::toggled, this,
                    [this, key](bool on) { settings_.set(key, on); });
            return box;
        }
        case QMetaType::Int: {
            auto* spin = new QSpinBox(this);
            spin->setRange(static_cast<int>(info.low), static_cast<int>(info.high));
            connect(spin, &QSpinBox::valueChanged, this,
                    [this, key](int value) { settings_.set(key, value); });
            return spin;
        }
        case QMetaType::Double: {
            auto* spin = new QDoubleSpinBox(this);
            spin->setRange(info.low, info.high);
            spin->setDecimals(info.high - info.low > 50.0 ? 0 : 2);
            connect(spin, &QDoubleSpinBox::valueChanged, this,
                    [this, key](double value) { settings_.set(key, value); });
            return spin;
        }
        default: {
            auto* line = new QLineEdit(this);
            connect(line, &QLineEdit::editingFinished, this,
                    [this, key, line] { settings_.set(key, line->text()); });
            return line;
        }
    }
}

void SettingsPage::show_value(const QString& key) {
    QWidget* editor = editors_.value(key);
    if (editor == nullptr) return;
    const QSignalBlocker quiet(editor);
    const QVariant value = settings_.value(key.toLatin1().constData());
    if (auto* box = qobject_cast<QCheckBox*>(editor)) box->setChecked(value.toBool());
    if (auto* spin = qobject_cast<QSpinBox*>(editor)) spin->setValue(value.toInt());
    if (auto* spin = qobject_cast<QDoubleSpinBox*>(editor)) spin->setValue(value.toDouble());
    if (auto* line = qobject_cast<QLineEdit*>(editor)) line->setText(value.toString());
}

}  // namespace skedlark::gui
