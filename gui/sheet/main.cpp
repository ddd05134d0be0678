// skedlark-sheet: a printable sheet of results; started by `skedlark sheet`. Needs no display.
#include <CLI/CLI.hpp>
#include <QApplication>
#include <filesystem>
#include <iostream>

#include "dsp/core/text_file.h"
#include "dsp/core/utc.h"
#include "gui/sheet/html_sheet.h"
#include "gui/sheet/make_sheet.h"
#include "gui/sheet/pdf_sheet.h"

namespace {

using namespace skedlark;

constexpr const char* kFooter =
    "Example:\n"
    "  skedlark fist --json practice.wav > practice.json\n"
    "  skedlark-sheet practice.json --out practice.pdf\n"
    "Exit status: 0 done; 2 a result or file cannot be used; 3 the disk is full.";

struct Options {
    std::vector<std::string> results;
    std::vector<std::string> before;
    std::string out;
    std::string paper = "a4";
    bool force = false;
    gui::SheetWishes wishes;
};

int fail(const Error& error) {
    std::cerr << "skedlark sheet: " << error.message << "\n";
    return error.code == ErrorCode::disk_full ? 3 : 2;
}

Status check_out(const Options& options) {
    const std::string ending = std::filesystem::path(options.out).extension();
    if (ending != ".html" && ending != ".pdf") {
        return Error{ErrorCode::invalid_value,
                     "--out: '" + options.out + "' must end in .html or .pdf"};
    }
    std::error_code ignored;
    if (!options.force && std::filesystem::exists(options.out, ignored)) {
        return Error{ErrorCode::write_failed,
                     options.out + ": is there already and is not overwritten without --force"};
    }
    return Done{};
}

int draw(Options options) {
    if (const Status status = check_out(options); !status) return fail(status.error());
    const auto results = gui::read_results(options.results);
    if (!results) return fail(results.error());
    if (!options.before.empty()) {
        auto before = gui::read_results(options.before);
        if (!before) return fail(before.error());
        options.wishes.bench.before = std::move(*before);
    }
    const auto sheet = gui::make_sheet(*results, options.wishes);
    if (!sheet) return fail(sheet.error());
    const bool pdf = options.out.ends_with(".pdf");
    const QByteArray content =
        pdf ? gui::pdf_of(*sheet, options.paper == "letter" ? gui::Paper::letter : gui::Paper::a4)
            : gui::html_of(*sheet);
    const std::string_view bytes(content.data(), static_cast<std::size_t>(content.size()));
    if (const Status written = replace_file(options.out, bytes); !written)
        return fail(written.error());
    return 0;
}

std::string now_text() {
    const std::string text =
        utc_text(std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now()));
    return text.substr(0, 10) + " " + text.substr(11, 5) + " UTC";
}

}  // namespace

int main(int argc, char** argv) {
    Options options;
    CLI::App program("A printable sheet of results, HTML or PDF", "skedlark-sheet");
    program.set_version_flag("--version", std::string("skedlark-sheet ") + SKEDLARK_VERSION);
    program.footer(kFooter);
    program.add_option("RESULT", options.results, "JSON Lines of skedlark; - is standard input")
        ->type_name("")
        ->required();
    program.add_option("--out", options.out, "The sheet, .html or .pdf")
        ->type_name("FILE")
        ->required();
    program.add_option("--title", options.wishes.title, "What stands at its head")
        ->type_name("TEXT");
    program.add_option("--note", options.wishes.notes, "A line for its head; repeatable")
        ->type_name("TEXT")
        ->allow_extra_args(false);
    program.add_option("--before", options.before, "Bench: measured before a repair; repeatable")
        ->type_name("RESULT")
        ->allow_extra_args(false);
    program.add_option("--receiver", options.wishes.bench.receiver, "Bench: name of the set")
        ->type_name("NAME");
    program.add_option("--supply", options.wishes.bench.supply, "Bench: what it ran on")
        ->type_name("TEXT");
    program.add_option("--paper", options.paper, "Of a PDF")
        ->type_name("a4|letter")
        ->capture_default_str()
        ->check(CLI::IsMember({"a4", "letter"}).description(""));
    program.add_flag("--force", options.force, "Overwrite the file");
    try {
        program.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        return program.exit(error) == 0 ? 0 : 2;
    }
    // Drawn in memory: what the environment says of displays, or lacks for them, does not matter.
    qputenv("QT_QPA_PLATFORM", "offscreen");
    qInstallMessageHandler([](QtMsgType, const QMessageLogContext&, const QString&) {});
    int none = 1;
    char* name[] = {argv[0], nullptr};
    QApplication application(none, name);
    options.wishes.made = now_text();
    return draw(options);
}
