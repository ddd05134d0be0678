// skedlark-desk: one window for the whole contact.
#include <QApplication>
#include <QStyleFactory>

#include "gui/shell/window.h"

int main(int argc, char** argv) {
    QApplication::setApplicationName("skedlark-desk");
    QApplication::setApplicationVersion(SKEDLARK_VERSION);
    QApplication application(argc, argv);
    QApplication::setStyle(QStyleFactory::create("Fusion"));
    skedlark::gui::Settings settings;
    skedlark::gui::AudioHub hub;
    skedlark::gui::DeskState desk(hub, settings);
    skedlark::gui::Window window(desk);
    window.show();
    return QApplication::exec();
}
