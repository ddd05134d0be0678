// skedlark bench ring: microphonic ringing after taps.
#include <memory>

#include "cli/bench_run.h"
#include "dsp/bench/whole_test.h"

namespace skedlark::cli {

namespace {

constexpr const char* kFooter =
    "Example:\n"
    "  skedlark bench ring taps.wav\n"
    "Record the receiver's own noise and tap one valve five times with a pencil, a second or\n"
    "more apart, from outside or with an insulated stick. Ringing that lasts, or that rises\n"
    "far over the noise, is of a microphonic valve.\n"
    "Names for --limits: taps ringing_taps ring_hz decay_ms ring_over_noise_db\n"
    "Exit status: 0 measured; 1 a limit is not kept; 2 cannot be measured; 3 cut short.";

}  // namespace

void add_bench_ring(CLI::App& bench, Run& chosen) {
    auto own = std::make_shared<bench::RingConfig>();
    CLI::App* verb = add_bench_test(
        bench, chosen,
        {.name = "ring",
         .description = "Microphonic ringing after taps: pitch, decay, how far over the noise",
         .footer = kFooter,
         .caution = kHighVoltageCaution,
         .live_s = 15.0,
         .measure = [own](const BenchAudio& audio, const BenchCommon&) -> Result<bench::Report> {
             return report_of(bench::ring_test(audio.recorded(), *own));
         }});
    verb->add_option("--rise", own->least_rise_db, "A tap rises so far over the noise")
        ->type_name("DB")
        ->capture_default_str()
        ->check(number_within({6.0, 60.0, "dB"}));
    verb->add_option("--thump", own->thump_s, "Length of the blow itself, which is left out")
        ->type_name("S")
        ->capture_default_str()
        ->check(number_within({0.001, 0.1, "s"}));
}

}  // namespace skedlark::cli
