#include "gui/bench/setup_panel.h"

#include <QGridLayout>
#include <QLabel>

namespace skedlark::gui {

BenchSetup setup_of(const Settings& settings) {
    BenchSetup setup;
    setup.limits_file = settings.text("bench/limits").toStdString();
    setup.chain_file = settings.text("bench/chain").toStdString();
    setup.log_file = settings.text("bench/log").toStdString();
    setup.who = settings.text("bench/who").toStdString();
    setup.receiver = settings.text("bench/receiver").toStdString();
    return setup;
}

SetupPanel::SetupPanel(Settings& settings, QWidget* parent) : QWidget(parent), settings_(settings) {
    struct Row {
        const char* key;
        QString label;
        QString name;
        QString hint;
    };
    const Row rows[] = {
        {"bench/receiver", tr("Receiver"), tr("Name of the receiver measured"),
         tr("name of the set, for the log")},
        {"bench/who", tr("Who measures"), tr("Who measures"), tr("your name, for the log")},
        {"bench/limits", tr("Limits"), tr("Limits file"),
         tr("TOML file; empty: the project's own limits")},
        {"bench/chain", tr("Measuring chain"), tr("File of the measuring chain"),
         tr("TOML file the test Measuring chain saves; empty: none")},
        {"bench/log", tr("Log"), tr("Log file"), tr("empty: your own log (skedlark log)")}};
    auto* grid = new QGridLayout(this);
    grid->setContentsMargins(0, 4, 0, 0);
    int at = 0;
    for (const Row& row : rows) {
        auto* field = new QLineEdit(this);
        field->setAccessibleName(row.name);
        field->setPlaceholderText(row.hint);
        auto* label = new QLabel(row.label, this);
        label->setBuddy(field);
        grid->addWidget(label, at, 0);
        grid->addWidget(field, at++, 1);
        fields_.emplace_back(row.key, field);
        connect(field, &QLineEdit::editingFinished, this, [this, key = row.key, field] {
            settings_.set(key, field->text().trimmed());
            emit edited();
        });
    }
    grid->setRowStretch(at, 1);
    show_settings();
}

void SetupPanel::show_settings() {
    for (const auto& [key, field] : fields_) {
        if (!field->hasFocus()) field->setText(settings_.text(key));
    }
}

}  // namespace skedlark::gui
