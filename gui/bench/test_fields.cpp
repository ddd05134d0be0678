#include "gui/bench/test_fields.h"

#include <QComboBox>
#include <QFontMetrics>
#include <QHBoxLayout>
#include <QLabel>
#include <QLineEdit>

#include "gui/common/flow_layout.h"

namespace skedlark::gui {

namespace {

// Wide enough for what is usually typed there.
int letters_of(const BenchField& field) {
    if (field.key == "check_points") return 34;
    if (field.key == "levels" || field.key == "image_levels") return 22;
    if (field.key == "what" || field.key == "points" || field.key == "name") return 13;
    if (field.key == "above" || field.key == "below") return 10;
    return 6;
}

}  // namespace

TestFields::TestFields(QWidget* parent) : QWidget(parent) {
    auto* flow = new FlowLayout(this);
    flow->setContentsMargins(0, 0, 0, 0);
}

void TestFields::make(const BenchKind& kind) {
    test_ = kind.name;
    for (const Shown& shown : shown_) delete shown.pair;
    shown_.clear();
    for (const BenchField& field : kind.fields) {
        auto* pair = new QWidget(this);
        auto* row = new QHBoxLayout(pair);
        row->setContentsMargins(0, 0, 0, 0);
        row->setSpacing(4);
        QWidget* control = nullptr;
        const QString key = QString::fromStdString(field.key);
        if (field.choices.empty()) {
            auto* edit = new QLineEdit(pair);
            connect(edit, &QLineEdit::editingFinished, this,
                    [this, key, edit] { emit edited(key, edit->text().trimmed()); });
            control = edit;
        } else {
            auto* box = new QComboBox(pair);
            for (const std::string& choice : field.choices)
                box->addItem(QString::fromStdString(choice));
            box->setSizeAdjustPolicy(QComboBox::AdjustToContents);
            connect(box, &QComboBox::activated, this,
                    [this, key, box] { emit edited(key, box->currentText()); });
            control = box;
        }
        control->setAccessibleName(QString::fromStdString(field.name));
        control->setToolTip(QString::fromStdString(field.name));
        auto* label = new QLabel(QString::fromStdString(field.label), pair);
        label->setBuddy(control);
        row->addWidget(label);
        row->addWidget(control);
        layout()->addWidget(pair);
        pair->show();
        shown_.push_back({field, pair, control});
    }
    restyle(theme_);
}

void TestFields::show_fields(const BenchKind& kind, const FieldTexts& texts) {
    if (kind.name != test_) make(kind);
    show_texts(texts);
}

void TestFields::show_texts(const FieldTexts& texts) {
    for (const Shown& shown : shown_) {
        const bool visible = is_shown(shown.field, texts);
        if (shown.pair->isVisibleTo(this) != visible) shown.pair->setVisible(visible);
        const QString text = QString::fromStdString(texts.at(shown.field.key));
        if (auto* edit = qobject_cast<QLineEdit*>(shown.control)) {
            // What is being typed is not taken away.
            if (!edit->hasFocus() && edit->text() != text) edit->setText(text);
        } else if (auto* box = qobject_cast<QComboBox*>(shown.control)) {
            if (box->currentText() != text) box->setCurrentText(text);
        }
    }
}

void TestFields::set_open(bool open) {
    for (const Shown& shown : shown_) {
        if (shown.control->isEnabled() != open) shown.control->setEnabled(open);
    }
}

void TestFields::restyle(const Theme& theme) {
    theme_ = theme;
    const QFontMetrics metrics(theme.body());
    for (const Shown& shown : shown_) {
        for (QWidget* part : shown.pair->findChildren<QWidget*>()) part->setFont(theme.body());
        if (qobject_cast<QLineEdit*>(shown.control) != nullptr)
            shown.control->setFixedWidth(metrics.averageCharWidth() * letters_of(shown.field) + 16);
    }
    updateGeometry();
}

}  // namespace skedlark::gui
