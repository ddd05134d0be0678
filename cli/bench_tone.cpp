// skedlark bench tone: one steady tone, its SINAD, noise and distortion.
#include <memory>

#include "cli/bench_run.h"
#include "dsp/bench/whole_test.h"

namespace skedlark::cli {

namespace {

constexpr const char* kFooter =
    "Example:\n"
    "  skedlark bench tone --live --seconds 10\n"
    "Set generator or crystal so that a steady tone of 400 to 1000 Hz is heard, automatic\n"
    "gain control off, and record ten seconds of the headphone output.\n"
    "SINAD is (signal + noise + distortion) over (noise + distortion), all in the band.\n"
    "Names for --limits: pitch_hz drift_hz_per_s level_dbfs sinad_db sinad_steady_db\n"
    "  snr_db noise_dbfs wander_db thd_percent thd_db harmonic_2_db ... harmonic_5_db\n"
    "Exit status: 0 measured; 1 a limit is not kept; 2 cannot be measured; 3 cut short.";

}  // namespace

void add_tone_options(CLI::App& verb, ToneOptions& options) {
    verb.add_option("--low", options.config.band.low_hz, "Lower edge of the band measured")
        ->type_name("HZ")
        ->capture_default_str()
        ->check(number_within({0.0, 20000.0, "Hz"}));
    verb.add_option("--high", options.config.band.high_hz, "Upper edge of the band measured")
        ->type_name("HZ")
        ->capture_default_str()
        ->check(number_within({200.0, 96000.0, "Hz"}));
    verb.add_option("--notch", options.config.notch_hz, "Width that counts as the tone itself")
        ->type_name("HZ")
        ->capture_default_str()
        ->check(number_within({bench::kMinNotchHz, bench::kMaxNotchHz, "Hz"}));
    CLI::Option* pitch = verb.add_option("--pitch", options.pitch_hz, "The tone is near this pitch")
                             ->type_name("HZ")
                             ->check(number_within({bench::kLowestToneHz, 20000.0, "Hz"}));
    verb.add_option("--span", options.config.span_hz, "How far from --pitch, to each side")
        ->type_name("HZ")
        ->capture_default_str()
        ->check(number_within({5.0, 5000.0, "Hz"}))
        ->needs(pitch);
}

bench::ToneTrackConfig tone_config(const ToneOptions& options) {
    bench::ToneTrackConfig config = options.config;
    if (options.pitch_hz > 0.0) config.pitch_hz = options.pitch_hz;
    return config;
}

void add_bench_tone(CLI::App& bench, Run& chosen) {
    auto own = std::make_shared<ToneOptions>();
    CLI::App* verb = add_bench_test(
        bench, chosen,
        {.name = "tone",
         .description = "A steady tone: pitch, level, SINAD, noise, distortion, clipping",
         .footer = kFooter,
         .measure = [own](const BenchAudio& audio,
                          const BenchCommon& common) -> Result<bench::Report> {
             return report_of(
                 bench::tone_test(audio.recorded(), tone_config(*own), common.chain_or_none()));
         }});
    add_tone_options(*verb, *own);
}

}  // namespace skedlark::cli
