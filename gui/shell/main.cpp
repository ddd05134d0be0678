// skedlark-desk: one window for the whole contact.
#include <CLI/CLI.hpp>
#include <QApplication>
#include <QStyleFactory>

#include "gui/shell/window.h"

namespace {

constexpr const char* kExample =
    "Example:\n"
    "  skedlark-desk --plan docs/examples/hut-net.toml --page copy evening.flac\n"
    "Pages: Plan, Sweep, Copy, Fist, Bench (Alt+1 to Alt+5); F1 lists every key.\n"
    "What is heard from a sound input is recorded unless that is switched off.\n"
    "Exit status: 0 left by the operator; 2 a file or value cannot be used.";

struct Options {
    std::string input;
    std::string live;
    std::string plan;
    std::string receiver;
    std::string page;
    std::string settings;
    double pace = 1.0;
    bool dark = false;
};

}  // namespace

int main(int argc, char** argv) {
    using namespace skedlark::gui;
    Options options;
    CLI::App program("One window for the whole contact: plan, sweep, copy", "skedlark-desk");
    program.set_version_flag("--version", SKEDLARK_VERSION);
    program.footer(kExample);
    program.add_option("INPUT", options.input, "A sound file to open at once")->type_name("[FILE]");
    CLI::Option* live =
        program.add_option("--live", options.live, "Listen at once, to a sound input by its name")
            ->expected(0, 1)
            ->type_name("[DEVICE]")
            ->excludes(program.get_option("INPUT"));
    CLI::Option* pace =
        program.add_option("--pace", options.pace, "Pace of the file; 0 as fast as it goes")
            ->type_name("TIMES")
            ->check(CLI::Range(0.0, 64.0).description(""))
            ->excludes(live);
    program.add_option("--plan", options.plan, "Plan file")->type_name("FILE");
    program.add_option("--receiver", options.receiver, "Receiver file with its chart")
        ->type_name("FILE");
    program.add_option("--page", options.page, "The page to begin with")
        ->type_name("plan|sweep|copy|fist|bench")
        ->check(CLI::IsMember({"plan", "sweep", "copy", "fist", "bench"}).description(""));
    program.add_option("--settings", options.settings, "Another settings file than the user's own")
        ->type_name("FILE");
    program.add_flag("--dark", options.dark, "Light ink on dark paper");
    try {
        program.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        return program.exit(error) == 0 ? 0 : 2;
    }

    QApplication::setApplicationName("skedlark-desk");
    QApplication::setApplicationVersion(SKEDLARK_VERSION);
    QGuiApplication::setDesktopFileName("skedlark-desk");
    QApplication application(argc, argv);
    QApplication::setStyle(QStyleFactory::create("Fusion"));
    Settings settings(QString::fromStdString(options.settings));
    if (options.dark) settings.set("look/dark", true);
    if (pace->count() > 0) settings.set("input/pace", options.pace);
    if (!options.plan.empty()) settings.set("station/plan", QString::fromStdString(options.plan));
    if (!options.receiver.empty()) {
        settings.set("station/receiver", QString::fromStdString(options.receiver));
    }
    AudioHub hub;
    DeskState desk(hub, settings);
    Window window(desk);
    if (options.page == "sweep") window.show_page(PageName::sweep);
    if (options.page == "copy") window.show_page(PageName::copy);
    if (options.page == "fist") window.show_page(PageName::fist);
    if (options.page == "bench") window.show_bench();
    window.show();
    if (!options.input.empty()) {
        window.input().choose_file(QString::fromStdString(options.input));
        window.input().listen();
    } else if (live->count() > 0) {
        window.input().choose_device(QString::fromStdString(options.live));
        window.input().listen();
    }
    return QApplication::exec();
}
