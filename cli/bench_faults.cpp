// skedlark bench faults: where to look when a set is not right. No sound is needed.
#include "cli/bench_run.h"
#include "cli/output.h"
#include "dsp/bench/fault_guide.h"

namespace skedlark::cli {

namespace {

constexpr const char* kFooter =
    "Example:\n"
    "  skedlark bench faults | less\n"
    "Markdown: symptoms, which measurement tells their causes apart, the order in which to look.\n"
    "Exit status: 0.";

ExitStatus run() {
    Output out(1);
    out.write(bench::fault_guide_markdown());
    if (out.flush()) return kDone;
    print_error("bench faults", out.failure()->message);
    return out.failure()->status;
}

}  // namespace

void add_bench_faults(CLI::App& bench, Run& chosen) {
    CLI::App* verb =
        bench.add_subcommand("faults", "The fault guide: where to look when a set is not right");
    verb->footer(kFooter);
    verb->callback([&chosen] { chosen = [] { return run(); }; });
}

}  // namespace skedlark::cli
