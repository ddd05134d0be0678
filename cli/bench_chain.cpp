// skedlark bench chain: the sound input and its lead by themselves, before they judge a receiver.
#include <memory>

#include "cli/bench_run.h"
#include "dsp/bench/chain.h"
#include "dsp/core/text_file.h"

namespace skedlark::cli {

namespace {

constexpr const char* kFooter =
    "Examples:\n"
    "  skedlark bench chain --live --save lead.toml           input closed by a resistor\n"
    "  skedlark bench chain tone.wav --reference-hz 1000 --save lead.toml\n"
    "  skedlark bench tone set.wav --chain lead.toml\n"
    "Noise: close the lead with a resistor of the headphones' impedance. Distortion: lead a\n"
    "generator straight in, as loud as the set will be. Clock: a tone from elsewhere whose\n"
    "pitch is known (the sound card's own output shares its clock and tells nothing).\n"
    "Leave the input's level as it is afterwards.\n"
    "Names for --limits: level_dbfs noise_dbfs noise_microvolt hum_dbfs thd_percent\n"
    "  clock_ppm full_scale_volts\n"
    "Exit status: 0 measured; 1 a limit is not kept; 2 cannot be measured; 3 cut short.";

struct ChainOptions {
    ToneOptions tone{};
    double reference_hz = 0.0;
    double reference_ppm = 1.0;
    double full_scale_volts = 0.0;
    double full_scale_percent = 5.0;
    std::string name = "chain";
    std::string save{};
};

Result<bench::Report> measure(const ChainOptions& own, const BenchAudio& audio) {
    bench::ChainWish wish;
    wish.name = own.name;
    wish.tone = tone_config(own.tone);
    if (own.reference_hz > 0.0) {
        wish.reference_hz = own.reference_hz;
        if (!wish.tone.pitch_hz) wish.tone.pitch_hz = own.reference_hz;
    }
    wish.reference_ppm = own.reference_ppm;
    if (own.full_scale_volts > 0.0) {
        wish.full_scale_volts = bench::Figure{own.full_scale_volts,
                                              0.01 * own.full_scale_percent * own.full_scale_volts};
    }
    auto measured = bench::measure_chain(audio.audio, audio.sample_rate_hz, wish);
    if (!measured) return measured.error();
    if (!own.save.empty()) {
        if (const Status saved = replace_file(own.save, bench::chain_toml(measured->chain)); !saved)
            return saved.error();
    }
    return measured->report;
}

}  // namespace

void add_bench_chain(CLI::App& bench, Run& chosen) {
    auto own = std::make_shared<ChainOptions>();
    CLI::App* verb = add_bench_test(
        bench, chosen,
        {.name = "chain",
         .description = "The measuring chain by itself: noise, hum, distortion, clock",
         .footer = kFooter,
         .measure = [own](const BenchAudio& audio, const BenchCommon&) {
             return measure(*own, audio);
         }});
    add_tone_options(*verb, own->tone);
    CLI::Option* reference =
        verb->add_option("--reference-hz", own->reference_hz, "The tone truly has this pitch")
            ->type_name("HZ")
            ->check(number_within({bench::kLowestToneHz, 20000.0, "Hz"}));
    verb->add_option("--reference-ppm", own->reference_ppm, "How sure that is, 95 %")
        ->type_name("PPM")
        ->capture_default_str()
        ->check(number_within({0.0, 1000.0, "ppm"}))
        ->needs(reference);
    CLI::Option* volts = verb->add_option("--full-scale-volts", own->full_scale_volts,
                                          "Peak volts at the lead that just reach full scale")
                             ->type_name("V")
                             ->check(number_within({1e-6, 1000.0, "V"}));
    verb->add_option("--full-scale-percent", own->full_scale_percent, "How sure that is, 95 %")
        ->type_name("%")
        ->capture_default_str()
        ->check(number_within({0.0, 100.0, "%"}))
        ->needs(volts);
    verb->add_option("--name", own->name, "What later results call the chain")
        ->type_name("NAME")
        ->capture_default_str();
    verb->add_option("--save", own->save, "Write the chain here, for --chain of other tests")
        ->type_name("FILE");
}

}  // namespace skedlark::cli
