#include "gui/common/settings.h"

#include <gtest/gtest.h>

#include <QFile>
#include <QTemporaryDir>

namespace skedlark::gui {
namespace {

TEST(DeskSettings, KeepsWhatWasSetAndResetsToTheTable) {
    const QTemporaryDir folder;
    const QString path = folder.filePath("desk.ini");
    {
        Settings settings(path);
        settings.set("look/dark", true);
        settings.set("copy/tones", 3);
    }
    Settings again(path);
    EXPECT_TRUE(again.on("look/dark"));
    EXPECT_EQ(again.value("copy/tones").toInt(), 3);
    again.reset();
    for (const SettingInfo& info : settings_table()) {
        EXPECT_EQ(again.value(info.key), info.standard) << info.key;
    }
}

TEST(DeskSettings, AValueOutOfRangeOrOfNoKindIsTheStandardOne) {
    const QTemporaryDir folder;
    const QString path = folder.filePath("desk.ini");
    QFile file(path);
    ASSERT_TRUE(file.open(QIODevice::WriteOnly));
    file.write("[copy]\ntones=99\nspan_hz=many\n[ears]\nlimit_dbfs=nan\n");
    file.close();
    const Settings settings(path);
    EXPECT_EQ(settings.value("copy/tones").toInt(), 1);
    EXPECT_EQ(settings.number("copy/span_hz"), 120.0);
    EXPECT_EQ(settings.number("ears/limit_dbfs"), -30.0);
}

TEST(DeskSettings, TellsAChangeOnce) {
    const QTemporaryDir folder;
    Settings settings(folder.filePath("desk.ini"));
    int told = 0;
    QObject::connect(&settings, &Settings::changed, [&](const QString&) { ++told; });
    settings.set("copy/tones", 2);
    settings.set("copy/tones", 2);
    EXPECT_EQ(told, 1);
}

}  // namespace
}  // namespace skedlark::gui
