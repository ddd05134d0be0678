// Accuracy of the bench's measurements of events, drift and response, over many seeds.
#include <fmt/format.h>

#include <CLI/CLI.hpp>

#include "tests/accuracy/bench_events/studies.h"

namespace skedlark::accuracy {

void deliver(const support::CsvTable& table, const StudyOptions& options, const std::string& name) {
    if (options.folder.empty()) {
        fmt::print("{}", table.text());
        return;
    }
    const auto written = table.write(options.folder + "/" + name);
    if (!written) fmt::print(stderr, "{}\n", written.error().message);
}

}  // namespace skedlark::accuracy

int main(int argc, char** argv) {
    using namespace skedlark::accuracy;
    StudyOptions options;
    std::string what = "contacts";
    CLI::App app{"Accuracy of the receiver bench: contacts, drift, ring, passband, dial."};
    app.add_option("study", what, "which")
        ->required()
        ->check(CLI::IsMember({"contacts", "drift", "ring", "passband"}));
    app.add_option("--folder", options.folder, "where the tables go; none: standard output");
    app.add_option("--rows", options.rows, "only these");
    app.add_option("--seeds", options.seeds, "runs a row")->check(CLI::Range(0, 100000));
    app.add_option("--first-seed", options.first_seed, "report from 1000 on");
    app.add_option("--hours", options.hours, "of audio without a fault in it; 0: none")
        ->check(CLI::Range(0.0, 1000.0));
    app.add_option("--rate", options.rate_hz, "sample rate")->check(CLI::Range(8000.0, 192000.0));
    app.add_flag("--quick", options.quick, "a row of each kind only");
    app.add_flag("--verbose", options.verbose, "each event");
    CLI11_PARSE(app, argc, argv);
    if (what == "contacts") contacts_study(options);
    if (what == "drift") drift_study(options);
    if (what == "ring") ring_study(options);
    if (what == "passband") passband_study(options);
    return 0;
}
