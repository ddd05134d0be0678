// skedlark bench TEST INPUT: is a rebuilt receiver fit to be relied on? One file a test.
#include "cli/bench_run.h"
#include "cli/options.h"

namespace skedlark::cli {

namespace {

constexpr const char* kExample =
    "Examples:\n"
    "  skedlark bench tone whistle.flac\n"
    "  skedlark bench tone --live --seconds 20 --limits hut-set.toml\n"
    "Each test has its own --help: what to connect, what the figures mean.\n"
    "Exit status: 0 measured; 1 measured, but a limit is not kept; 2 cannot be measured;\n"
    "3 cut short from outside.";

}  // namespace

void add_bench(CLI::App& program, Run& chosen) {
    CLI::App* bench =
        program.add_subcommand("bench", "Measure a receiver by the sound of its headphone output");
    bench->require_subcommand(1);
    bench->footer(kExample);
    add_bench_chain(*bench, chosen);
    add_bench_sensitivity(*bench, chosen);
    add_bench_hum(*bench, chosen);
    add_bench_tone(*bench, chosen);
    add_bench_contacts(*bench, chosen);
    add_bench_dial(*bench, chosen);
    add_bench_drift(*bench, chosen);
    add_bench_passband(*bench, chosen);
    add_bench_peak(*bench, chosen);
    add_bench_ring(*bench, chosen);
    add_bench_rundown(*bench, chosen);
    add_bench_faults(*bench, chosen);
}

}  // namespace skedlark::cli
