#include "gui/shell/input_bar.h"

#include <QApplication>
#include <QCompleter>
#include <QDir>
#include <QFileSystemModel>
#include <QGridLayout>
#include <QHBoxLayout>
#include <QPointer>
#include <QStandardPaths>
#include <QVBoxLayout>
#include <thread>

#include "dsp/audio/devices.h"
#include "gui/common/flow_layout.h"

namespace skedlark::gui {

namespace {

constexpr const char* kFileEntry = "file";
constexpr const char* kDeviceEntry = "device:";

QString recordings_folder(const Settings& settings) {
    const QString own = settings.text("record/folder");
    if (!own.isEmpty()) return own;
    return QDir(QStandardPaths::writableLocation(QStandardPaths::GenericDataLocation))
        .filePath("skedlark/recordings");
}

QString clock_of(double seconds) {
    const int whole = static_cast<int>(seconds);
    return QString("%1:%2:%3")
        .arg(whole / 3600)
        .arg(whole / 60 % 60, 2, 10, QChar('0'))
        .arg(whole % 60, 2, 10, QChar('0'));
}

}  // namespace

InputBar::InputBar(DeskState& desk, Ears& ears, QWidget* parent)
    : QWidget(parent),
      desk_(desk),
      ears_(ears),
      from_(new QComboBox(this)),
      file_(new QLineEdit(this)),
      pace_(new QComboBox(this)),
      listen_(new QPushButton(tr("Listen"), this)),
      level_(new LevelBar(this)),
      record_(new QCheckBox(tr("Record"), this)),
      ears_on_(new QCheckBox(tr("Headphones"), this)),
      words_(new QLabel(this)),
      said_(new QLabel(this)) {
    from_->setAccessibleName(tr("Listen to"));
    from_->setToolTip(tr("The sound input, or a file"));
    from_->setMinimumContentsLength(16);
    from_->setSizeAdjustPolicy(QComboBox::AdjustToMinimumContentsLengthWithIcon);
    file_->setAccessibleName(tr("Sound file to listen to"));
    file_->setPlaceholderText(tr("path of a sound file"));
    auto* files = new QFileSystemModel(this);
    files->setRootPath("/");
    auto* completer = new QCompleter(files, this);
    file_->setCompleter(completer);
    pace_->setAccessibleName(tr("Pace of the file"));
    pace_->addItem(tr("as it was heard"), 1.0);
    pace_->addItem(tr("4 times as fast"), 4.0);
    pace_->addItem(tr("as fast as it goes"), 0.0);
    listen_->setAccessibleName(tr("Listen or stop"));
    record_->setAccessibleName(tr("Record what is heard"));
    record_->setToolTip(tr("Everything heard from a sound input is kept in files"));
    ears_on_->setAccessibleName(tr("Filtered tone in the headphones"));
    ears_on_->setToolTip(
        tr("The followed tone through a narrow filter, never louder than the limit in the "
           "settings. Set the headphones low first: loud sound harms hearing."));
    words_->setAccessibleName(tr("How the input goes"));
    words_->setTextInteractionFlags(Qt::TextSelectableByMouse);
    said_->setAccessibleName(tr("Message"));
    said_->setTextInteractionFlags(Qt::TextSelectableByMouse);
    make_rows();
    from_->addItem(tr("the system's own input"), QString(kDeviceEntry));
    from_->addItem(tr("a sound file"), QString(kFileEntry));
    const Settings& settings = desk_.settings();
    record_->setChecked(settings.on("record/on"));
    const double told = settings.number("input/pace");
    if (pace_->findData(told) < 0) pace_->addItem(tr("%1 times as fast").arg(told), told);
    pace_->setCurrentIndex(pace_->findData(told));
    choose_device(settings.text("input/device"));
    connect(from_, &QComboBox::activated, this, &InputBar::take_choice);
    connect(file_, &QLineEdit::returnPressed, this, [this] { listen(); });
    connect(pace_, &QComboBox::activated, this, [this] {
        const double pace_now = pace_->currentData().toDouble();
        desk_.settings().set("input/pace", pace_now);
        desk_.hub().set_pace(pace_now);
        ears_.set_in_real_time(pace_now == 1.0);
    });
    connect(listen_, &QPushButton::clicked, this, &InputBar::toggle);
    connect(record_, &QCheckBox::toggled, this,
            [this](bool on) { desk_.settings().set("record/on", on); });
    connect(ears_on_, &QCheckBox::toggled, this, &InputBar::set_ears);
    connect(&desk_.settings(), &Settings::changed, this, [this](const QString& key) {
        if (key.startsWith("ears/")) configure_ears();
    });
    connect(&desk_, &DeskState::said, this, &InputBar::say);
    configure_ears();
}

void InputBar::make_rows() {
    auto* rows = new QVBoxLayout(this);
    rows->setContentsMargins(8, 2, 8, 4);
    rows->setSpacing(2);
    auto* first = new FlowLayout;  // large type takes two lines
    for (QWidget* part :
         std::initializer_list<QWidget*>{from_, file_, pace_, listen_, level_, record_, ears_on_}) {
        first->addWidget(part);
    }
    rows->addLayout(first);
    auto* second = new QHBoxLayout;
    second->addWidget(words_);
    second->addStretch();
    second->addWidget(said_);
    rows->addLayout(second);
    for (QLabel* label : {words_, said_}) {
        // A long path does not widen the window.
        label->setMinimumWidth(1);
        label->setSizePolicy(QSizePolicy::Preferred, QSizePolicy::Fixed);
    }
}

void InputBar::take_choice() {
    const QString chosen = from_->currentData().toString();
    const bool file = chosen == kFileEntry;
    desk_.settings().set("input/live", !file);
    if (!file) desk_.settings().set("input/device", chosen.mid(QString(kDeviceEntry).size()));
    file_->setVisible(file);
    pace_->setVisible(file);
    record_->setVisible(!file);
    if (file) file_->setFocus();
}

void InputBar::choose_device(const QString& device) {
    const QString entry = kDeviceEntry + device;
    if (from_->findData(entry) < 0) from_->insertItem(from_->count() - 1, device, entry);
    from_->setCurrentIndex(from_->findData(entry));
    take_choice();
}

void InputBar::choose_file(const QString& path) {
    from_->setCurrentIndex(from_->findData(QString(kFileEntry)));
    file_->setText(path);
    take_choice();
}

void InputBar::look_for_devices() {
    std::thread([self = QPointer<InputBar>(this)] {
        auto found = audio::list_devices();
        QMetaObject::invokeMethod(qApp, [self, found = std::move(found)] {
            if (self.isNull() || !found) return;
            for (const audio::DeviceInfo& device : *found) {
                const QString name = QString::fromStdString(device.name);
                const QString entry = kDeviceEntry + name;
                if (self->from_->findData(entry) >= 0) continue;
                self->from_->insertItem(self->from_->count() - 1, name, entry);
            }
        });
    }).detach();
}

void InputBar::listen() {
    const Settings& settings = desk_.settings();
    InputChoice choice;
    choice.live = from_->currentData().toString() != kFileEntry;
    choice.device = settings.text("input/device").toStdString();
    choice.channel = settings.value("input/channel").toInt();
    choice.file = file_->text().trimmed().toStdString();
    choice.pace = pace_->currentData().toDouble();
    if (settings.on("record/on")) {
        choice.record_folder = recordings_folder(settings).toStdString();
    }
    if (!choice.live && choice.file.empty()) {
        say(tr("sound file: no path is given; type one and press Enter"));
        file_->setFocus();
        return;
    }
    ears_.set_in_real_time(choice.live || choice.pace == 1.0);
    desk_.hub().open(choice);
    refresh();
    emit begun();
}

void InputBar::stop() {
    desk_.hub().stop();
    refresh();
}

void InputBar::toggle() {
    const HubPhase phase = desk_.hub().state().phase;
    if (phase == HubPhase::listening || phase == HubPhase::opening) {
        stop();
    } else {
        listen();
    }
}

void InputBar::set_ears(bool on) {
    ears_on_->setChecked(on);
    desk_.settings().set("ears/on", on);
    if (on) say(tr("Headphones low first: loud sound harms hearing."));
}

void InputBar::configure_ears() {
    const Settings& settings = desk_.settings();
    EarsConfig config;
    config.on = settings.on("ears/on");
    config.device = settings.text("ears/device").toStdString();
    config.filter.width_hz = settings.number("ears/width_hz");
    config.filter.ceiling_dbfs = settings.number("ears/limit_dbfs");
    config.filter.level_dbfs =
        std::min(settings.number("ears/level_dbfs"), config.filter.ceiling_dbfs);
    ears_on_->setChecked(config.on);
    if (const Status right = ears_.configure(config); !right) {
        say(QString::fromStdString(right.error().message));
    }
}

void InputBar::say(const QString& text) {
    said_->setText(text);
    said_->setToolTip(text);
}

QString InputBar::words_of(const HubState& state) const {
    if (!state.failure.empty()) return QString::fromStdString(state.failure);
    switch (state.phase) {
        case HubPhase::idle:
            return tr("Not listening. Ctrl+L begins.");
        case HubPhase::opening:
            return tr("Opening %1").arg(QString::fromStdString(state.input.name));
        case HubPhase::failed:
        case HubPhase::ended:
            return tr("Ended after %1").arg(clock_of(state.at_s));
        case HubPhase::listening:
            break;
    }
    QString words = clock_of(state.at_s);
    if (state.input.seconds) words += tr(" of %1").arg(clock_of(*state.input.seconds));
    if (state.away) words += tr("; the sound input is away and waited for");
    if (!state.recording_failure.empty()) {
        words += tr("; not recorded: %1").arg(QString::fromStdString(state.recording_failure));
    } else if (!state.recording.empty()) {
        words += tr("; recorded");
        if (state.free_bytes) {
            words +=
                tr(", %1 GB free").arg(static_cast<double>(*state.free_bytes) / 1e9, 0, 'f', 1);
        }
    } else if (state.input.live) {
        words += tr("; not recorded");
    }
    if (const Status ears = ears_.status(); !ears) {
        words += tr("; headphones: %1").arg(QString::fromStdString(ears.error().message));
    }
    return words;
}

void InputBar::refresh() {
    const HubState state = desk_.hub().state();
    level_->show_level(state.level, state.phase == HubPhase::listening);
    const QString words = words_of(state);
    if (words != words_->text()) {
        words_->setText(words);
        words_->setToolTip(state.recording.empty() ? words
                                                   : QString::fromStdString(state.recording));
    }
    if (state.phase == shown_) return;
    shown_ = state.phase;
    const bool going = state.phase == HubPhase::listening || state.phase == HubPhase::opening;
    listen_->setText(going ? tr("Stop listening") : tr("Listen"));
}

void InputBar::restyle() {
    const Theme theme = desk_.theme();
    level_->restyle(theme);
    file_->setMinimumWidth(QFontMetrics(theme.body()).averageCharWidth() * 34);
}

}  // namespace skedlark::gui
