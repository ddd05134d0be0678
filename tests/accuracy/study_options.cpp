#include <CLI/CLI.hpp>

#include "tests/accuracy/study.h"

namespace skedlark::accuracy {

void add_study_options(CLI::App& app, StudyOptions& options) {
    app.add_option("--first-seed", options.first_seed,
                   "first seed; below 1000 for tuning, from 1000 for reporting")
        ->capture_default_str();
    app.add_option("--seeds", options.seeds, "messages a row")
        ->check(CLI::Range(1, 100000))
        ->capture_default_str();
    app.add_option("--characters", options.characters, "about this many characters a message")
        ->check(CLI::Range(5, 100000))
        ->capture_default_str();
    app.add_option("--threads", options.threads)->check(CLI::Range(1, 2))->capture_default_str();
    app.add_option("--rows", options.rows, "only rows whose name holds this");
    app.add_option("--snr", options.snr_2500hz_db, "only these SNRs, dB in 2500 Hz");
    app.add_option("--out", options.out, "CSV file; without it the table is printed");
}

int parse(CLI::App& app, int argc, char** argv) {
    try {
        app.parse(argc, argv);
    } catch (const CLI::ParseError& error) {
        return app.exit(error) == 0 ? 0 : 2;
    }
    return -1;
}

}  // namespace skedlark::accuracy
