// The desk's settings: one table, kept in an INI file under the user's configuration folder.
//
// Stage:   gui/common. In and out: values by key.
// Units:   in the labels.
// Shape:   every key stands in settings_table(); another key is a programmer's mistake.
// Errors:  a value in the file that is no value of its kind, or out of range, is read as the default.
// Threads: the window's.
// Source:  XDG Base Directory Specification for where the file is.
// Checked: tests/desk/common/settings_test.cpp
#pragma once

#include <QObject>
#include <QSettings>
#include <QString>
#include <QVariant>
#include <span>
#include <string_view>

namespace skedlark::gui {

struct SettingInfo {
    const char* key;
    QVariant standard;  // its type is the setting's
    double low = 0.0;   // of numbers; low == high: any
    double high = 0.0;
    const char* label = "";
};

[[nodiscard]] std::span<const SettingInfo> settings_table();

class Settings : public QObject {
    Q_OBJECT

 public:
    // An empty path: the user's own file.
    explicit Settings(const QString& path = {});

    [[nodiscard]] QVariant value(const char* key) const;
    [[nodiscard]] QString text(const char* key) const { return value(key).toString(); }
    [[nodiscard]] double number(const char* key) const { return value(key).toDouble(); }
    [[nodiscard]] bool on(const char* key) const { return value(key).toBool(); }
    void set(const char* key, const QVariant& value);
    // All as in the table again.
    void reset();
    [[nodiscard]] QString path() const { return file_.fileName(); }

 signals:
    void changed(const QString& key);

 private:
    QSettings file_;
};

}  // namespace skedlark::gui
