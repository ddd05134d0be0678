#include "gui/practice/fields.h"

#include <QHBoxLayout>

#include "dsp/fist/drill_text.h"

namespace skedlark::gui {

QWidget* add_pair(QWidget& parent, const QString& label, QWidget& control, const QString& name) {
    auto* pair = new QWidget(&parent);
    auto* row = new QHBoxLayout(pair);
    row->setContentsMargins(0, 0, 0, 0);
    row->setSpacing(4);
    auto* words = new QLabel(label, pair);
    words->setBuddy(&control);
    row->addWidget(words);
    row->addWidget(&control);
    control.setAccessibleName(name);
    control.setToolTip(name);
    parent.layout()->addWidget(pair);
    return pair;
}

QDoubleSpinBox* number_field(double low, double high, double step, int places, QWidget* parent) {
    auto* field = new QDoubleSpinBox(parent);
    field->setRange(low, high);
    field->setSingleStep(step);
    field->setDecimals(places);
    field->setKeyboardTracking(false);
    return field;
}

QLabel* words_of(const QString& name, QWidget* parent) {
    auto* label = new QLabel(parent);
    label->setWordWrap(true);
    label->setTextFormat(Qt::PlainText);
    label->setAccessibleName(name);
    return label;
}

QPlainTextEdit* page_of(const QString& name, bool read_only, QWidget* parent) {
    auto* page = new QPlainTextEdit(parent);
    page->setReadOnly(read_only);
    page->setTabChangesFocus(true);
    page->setAccessibleName(name);
    // As much room as there is, and where there is little, a few lines.
    page->setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Ignored);
    page->setMinimumHeight(4 * page->fontMetrics().height());
    if (read_only)
        page->setTextInteractionFlags(Qt::TextSelectableByMouse | Qt::TextSelectableByKeyboard);
    return page;
}

QPushButton* button_of(const QString& text, const QString& name, QWidget* parent) {
    auto* button = new QPushButton(text, parent);
    button->setAccessibleName(name);
    return button;
}

QComboBox* kind_field(QWidget* parent) {
    auto* field = new QComboBox(parent);
    field->addItem(QObject::tr("groups"), "groups");
    field->addItem(QObject::tr("plain words"), "plain");
    field->addItem(QObject::tr("calls"), "calls");
    field->addItem(QObject::tr("figures"), "figures");
    field->addItem(QObject::tr("procedure"), "procedure");
    return field;
}

}  // namespace skedlark::gui
