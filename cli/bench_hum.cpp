// skedlark bench hum: lines of the supply, in the audio and on a tone.
#include <memory>

#include "cli/bench_run.h"
#include "dsp/bench/whole_test.h"

namespace skedlark::cli {

namespace {

constexpr const char* kFooter =
    "Examples:\n"
    "  skedlark bench hum --live --seconds 20\n"
    "  skedlark bench hum tone.wav --chain lead.toml --limits hut-set.toml\n"
    "First with the gain down and no signal: hum of the audio stages. Then with a steady tone\n"
    "of 600 to 900 Hz, not on a multiple of the mains: hum that sits on the tone. Record 10 s.\n"
    "The supply frequency is measured, from 24 to 66 Hz, and vibrators from 80 to 130 Hz.\n"
    "What lines point to is a hint, no verdict.\n"
    "Names for --limits: supply_hz hum_dbfs hum_to_tone_db line_dbfs am_percent\n"
    "  am_line_percent fm_hz fm_line_hz\n"
    "Exit status: 0 measured; 1 a limit is not kept; 2 cannot be measured; 3 cut short.";

}  // namespace

void add_bench_hum(CLI::App& bench, Run& chosen) {
    auto own = std::make_shared<ToneOptions>();
    CLI::App* verb = add_bench_test(
        bench, chosen,
        {.name = "hum",
         .description = "Lines of the supply, in the audio and as modulation of a tone",
         .footer = kFooter,
         .caution = kHighVoltageCaution,
         .live_s = 20.0,
         .measure = [own](const BenchAudio& audio,
                          const BenchCommon& common) -> Result<bench::Report> {
             return report_of(
                 bench::hum_test(audio.recorded(), tone_config(*own), common.chain_or_none()));
         }});
    add_tone_options(*verb, *own);
}

}  // namespace skedlark::cli
