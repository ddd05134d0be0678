// skedlark: one program for everything a screen is not needed for. Reads the command line and hands
// on to the verb.
#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <exception>

#include "cli/options.h"
#include "cli/output.h"
#include "cli/sheet_verb.h"

namespace {

using namespace skedlark::cli;

constexpr const char* kFooter =
    "Exit status: 0 done; 1 done, but the answer is no; 2 cannot do it; 3 cut short from outside.\n"
    "Each verb has its own --help with an example.";

ExitStatus print_and_end(const std::string& text) {
    Output out(1);
    out.write(text);
    if (out.flush()) {
        return kDone;
    }
    print_error("", out.failure()->message);
    return out.failure()->status;
}

std::string chosen_verb(const CLI::App& program) {
    const auto verbs = program.get_subcommands();
    return verbs.empty() ? "" : verbs.front()->get_name();
}

std::string verbs_of(const CLI::App& program) {
    std::string names;
    for (const CLI::App* verb : program.get_subcommands({})) {
        names += (names.empty() ? "" : ", ") + verb->get_name();
    }
    return names;
}

ExitStatus run(int argc, char** argv) {
    CLI::App program("Receive assistant for weak hand-sent Morse", "skedlark");
    program.set_version_flag("--version", std::string("skedlark ") + SKEDLARK_VERSION);
    program.require_subcommand(1);
    program.footer(kFooter);
    Run chosen;
    add_copy(program, chosen);
    add_find(program, chosen);
    add_fist(program, chosen);
    add_drill(program, chosen);
    add_sweep(program, chosen);
    add_key(program, chosen);
    add_dial(program, chosen);
    add_sked(program, chosen);
    add_bench(program, chosen);
    add_sheet(program, chosen);
    add_log(program, chosen);
    add_devices(program, chosen);
    try {
        program.parse(argc, argv);
    } catch (const CLI::CallForHelp&) {
        return print_and_end(program.help());
    } catch (const CLI::CallForVersion& version) {
        return print_and_end(std::string(version.what()) + "\n");
    } catch (const CLI::ParseError& wrong) {
        const std::string verb = chosen_verb(program);
        if (verb.empty() && argc > 1 && argv[1][0] != '-') {
            print_error(
                "", "'" + std::string(argv[1]) + "' is no verb; there are " + verbs_of(program));
            return kCannot;
        }
        print_error(verb, wrong.what());
        print_error(verb, "see skedlark " + (verb.empty() ? verb : verb + " ") + "--help");
        return kCannot;
    }
    return chosen();
}

}  // namespace

int main(int argc, char** argv) {
    guard_standard_streams();
    try {
        return run(argc, argv);
    } catch (const std::exception& failure) {
        // Out of memory and the like: the library itself throws nothing.
        print_error("", failure.what());
        return kCannot;
    }
}
