#include "gui/common/settings.h"

#include <QDir>
#include <QStandardPaths>
#include <algorithm>
#include <array>
#include <cassert>

namespace skedlark::gui {

namespace {

QString standard_path() {
    return QDir(QStandardPaths::writableLocation(QStandardPaths::GenericConfigLocation))
        .filePath("skedlark/desk.ini");
}

const SettingInfo* find(const char* key) {
    const auto table = settings_table();
    const auto entry = std::find_if(table.begin(), table.end(), [&](const SettingInfo& info) {
        return std::string_view(info.key) == key;
    });
    return entry != table.end() ? &*entry : nullptr;
}

}  // namespace

std::span<const SettingInfo> settings_table() {
    static const std::array<SettingInfo, 37> kTable{{
        {"look/dark", false, 0, 0, "Dark: light ink on dark paper"},
        {"look/type_percent", 100.0, 80, 250, "Size of type, per cent"},
        {"station/plan", "", 0, 0, "Plan file"},
        {"station/receiver", "", 0, 0, "Receiver file"},
        {"input/live", true, 0, 0, "Listen to a sound input"},
        {"input/device", "", 0, 0, "Sound input; empty for the system's own choice"},
        {"input/channel", 1, 0, 64, "Channel; 0 for the mean of all"},
        {"input/pace", 1.0, 0, 64, "Pace of a file, times real time; 0 as fast as it goes"},
        {"record/on", true, 0, 0, "Record what is heard from a sound input"},
        {"record/folder", "", 0, 0, "Folder of recordings; empty for the user's own"},
        {"copy/span_hz", 120.0, 40, 1400, "Waterfall to each side of the pitch, Hz"},
        {"copy/pitch_hz", 0.0, 0, 3000, "Pitch copied at, Hz; 0 wherever a tone is keyed"},
        {"copy/search_hz", 150.0, 10, 2800, "Tones are looked for to each side of the pitch, Hz"},
        {"copy/wpm", 0.0, 0, 60, "Speed that is known, words a minute; 0 for not known"},
        {"copy/text", "none", 0, 0, "What is known of the text: none, groups, plain"},
        {"copy/tones", 1, 1, 8, "Tones copied at once"},
        {"copy/in_groups", true, 0, 0, "Text beside the picture in five-letter groups"},
        {"sweep/rate_khz_per_s", 1.0, 0.02, 10, "Pace of a sweep, kHz a second"},
        {"sweep/click", false, 0, 0, "Click in the headphones at each division of a sweep"},
        {"fist/who", "", 0, 0, "Who sends: attempts are kept under this name"},
        {"bench/limits", "", 0, 0, "Bench: limits file; empty for the project's own"},
        {"bench/chain", "", 0, 0, "Bench: file of the measuring chain; empty for none"},
        {"bench/log", "", 0, 0, "Bench: log file; empty for the user's own"},
        {"bench/who", "", 0, 0, "Bench: who measures"},
        {"bench/receiver", "", 0, 0, "Bench: name of the receiver measured"},
        {"ears/on", false, 0, 0, "Filtered tone to the headphones"},
        {"ears/device", "", 0, 0, "Sound output; empty for the system's own choice"},
        {"ears/level_dbfs", -40.0, -70, -12, "Level in the headphones, dBFS"},
        {"ears/limit_dbfs", -30.0, -60, -10, "Never louder than, dBFS of the peak"},
        {"ears/width_hz", 120.0, 40, 500, "Width of the filter, Hz"},
        {"practice/level_dbfs", -40.0, -70, -12, "Volume of practice, dBFS"},
        {"practice/sidetone_hz", 600.0, 300, 1200, "Pitch of the sidetone, Hz"},
        {"practice/send_count", 5.0, 1, 200, "Groups, calls or sentences to send"},
        {"practice/copy_count", 5.0, 1, 200, "Groups, calls or sentences to copy"},
        {"practice/level", 8.0, 3.3, 49.9, "Level of copying, five-letter groups a minute"},
        {"practice/character_wpm", 12.0, 4, 60, "Characters no slower than, words a minute"},
        {"practice/snr_db", -21.0, -21, 40, "Practice over noise in 2500 Hz, dB; -21 for no noise"},
    }};
    return kTable;
}

Settings::Settings(const QString& path)
    : file_(path.isEmpty() ? standard_path() : path, QSettings::IniFormat) {}

QVariant Settings::value(const char* key) const {
    const SettingInfo* info = find(key);
    assert(info != nullptr);
    QVariant kept = file_.value(QString::fromLatin1(key), info->standard);
    const bool number = info->low != info->high;
    if (number) {
        bool reads = false;
        const double value = kept.toDouble(&reads);
        if (!reads || !(value >= info->low && value <= info->high)) return info->standard;
    }
    if (!kept.convert(info->standard.metaType())) return info->standard;
    return kept;
}

void Settings::set(const char* key, const QVariant& value) {
    assert(find(key) != nullptr);
    if (this->value(key) == value) return;
    file_.setValue(QString::fromLatin1(key), value);
    emit changed(QString::fromLatin1(key));
}

void Settings::reset() {
    file_.clear();
    for (const SettingInfo& info : settings_table()) emit changed(QString::fromLatin1(info.key));
}

}  // namespace skedlark::gui
