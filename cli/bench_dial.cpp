// skedlark bench dial: chart against check points, corrected chart, backlash. No sound is needed.
#include "cli/bench_log.h"
#include "cli/bench_run.h"
#include "cli/bench_session.h"
#include "cli/bench_view.h"
#include "cli/text_file.h"
#include "dsp/bench/event_reports.h"
#include "dsp/bench/step_file.h"
#include "dsp/core/text_file.h"
#include "dsp/dial/receiver_file.h"

namespace skedlark::cli {

namespace {

constexpr const char* kFooter =
    "Example:\n"
    "  skedlark bench dial --chart hut.toml --band 2 --points found.csv --out hut-2.toml\n"
    "Find each check point (crystal harmonic, standard frequency) at zero beat, from below\n"
    "and from above, and note the divisions:\n"
    "  mhz,div,from\n"
    "  5,56.4,below\n"
    "  5,56.6,above\n"
    "--out writes the receiver file with the chart moved as measured, for dial and sweep.\n"
    "Names for --limits: error_div largest_error_div largest_left_div offset_div\n"
    "  stretch_percent backlash_div\n"
    "Exit status: 0 within; 1 not within, or a limit is not kept; 2 cannot be measured.";

struct DialTestOptions {
    std::string chart{}, band{}, points{}, out{}, limits{};
    bench::DialCheckConfig config{};
    bool json = false;
    BenchLogOptions log{};
};

Status check(const DialTestOptions& own, BenchSession& session, ExitStatus& status) {
    const auto limits = limits_of(own.limits);
    if (!limits) return limits.error();
    const auto receiver = dial::read_receiver(own.chart);
    if (!receiver) return receiver.error();
    const auto text = read_text_file(own.points);
    if (!text) return text.error();
    const auto points = bench::parse_check_points(*text, own.points);
    if (!points) return points.error();
    const auto checked = bench::check_dial(*receiver, own.band, *points, own.config);
    if (!checked) return Error{checked.error().code, own.points + ": " + checked.error().message};
    const bench::Sheet result{
        "dial", own.points, 0.0, 0.0, bench::dial_report(*checked, own.config), *limits};
    status = session.tell(result, bench::keeps_limits(result) && checked->within, own.json, own.log,
                          false);
    if (own.out.empty()) return Done{};
    const auto moved = bench::corrected(*receiver, own.band, checked->correction);
    if (!moved) return moved.error();
    return replace_file(own.out, dial::receiver_toml(*moved));
}

ExitStatus run(const DialTestOptions& own) {
    BenchSession session("dial");
    return session.run([&](ExitStatus& status) { return check(own, session, status); });
}

}  // namespace

void add_bench_dial(CLI::App& bench, Run& chosen) {
    auto own = std::make_shared<DialTestOptions>();
    CLI::App* verb =
        bench.add_subcommand("dial", "The chart against check points; correction and backlash");
    verb->add_option("--chart", own->chart, "Receiver file (TOML, see docs/file-formats.md)")
        ->type_name("FILE")
        ->required();
    verb->add_option("--band", own->band, "Band of the check points")
        ->type_name("NAME")
        ->required();
    verb->add_option("--points", own->points, "Check points as found (CSV, see below)")
        ->type_name("FILE")
        ->required();
    verb->add_option("--within", own->config.within_div, "No error may be larger")
        ->type_name("DIV")
        ->capture_default_str()
        ->check(number_within({0.001, 100.0, "divisions"}));
    verb->add_option("--out", own->out, "Write the receiver file with the corrected chart here")
        ->type_name("FILE");
    verb->add_option("--limits", own->limits, "Limits to keep (TOML, see docs/file-formats.md)")
        ->type_name("FILE");
    add_bench_log_options(*verb, own->log);
    verb->add_flag("--json", own->json, "JSON Lines");
    verb->footer(kFooter);
    verb->callback([own, &chosen] { chosen = [own] { return run(*own); }; });
}

}  // namespace skedlark::cli
