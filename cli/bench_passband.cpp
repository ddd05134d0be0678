// skedlark bench passband: widths, shape, noise bandwidth, both sides of zero beat.
#include <memory>

#include "cli/bench_run.h"
#include "cli/text_file.h"
#include "dsp/bench/step_file.h"
#include "dsp/bench/whole_test.h"

namespace skedlark::cli {

namespace {

constexpr const char* kFooter =
    "Examples:\n"
    "  skedlark bench passband noise.wav\n"
    "  skedlark bench passband stepped.wav --steps steps.csv\n"
    "  skedlark bench passband swept.wav --sweep 2-62 --first above\n"
    "From noise alone (default): the audio side of the curve, as far down as the sound\n"
    "card's own noise. Stepped: the generator moves through the band, gain set by hand; the CSV\n"
    "says from when to when, its level, and on which side of zero beat:\n"
    "  from_s,to_s,db,side        (a fifth column khz shows the pull of a strong signal)\n"
    "  0,2,-60,above\n"
    "Swept: evenly, at most 200 Hz a second, through zero beat or up to it.\n"
    "Names for --limits: width_6db_hz low_6db_hz high_6db_hz width_60db_hz shape_factor\n"
    "  noise_bandwidth_hz centre_hz side_ratio_db pulling_hz\n"
    "Exit status: 0 measured; 1 a limit is not kept; 2 cannot be measured; 3 cut short.";

struct PassbandOptions {
    std::string steps{};
    std::string sweep{};
    std::string first = "above";
    bench::PassbandConfig config{};
};

Result<bench::Report> measure(const PassbandOptions& own, const BenchAudio& audio) {
    bench::PassbandWish wish;
    wish.config = own.config;
    if (!own.steps.empty()) {
        const auto text = read_text_file(own.steps);
        if (!text) return text.error();
        const auto steps = bench::parse_generator_steps(*text, own.steps);
        if (!steps) return steps.error();
        wish.steps = *steps;
    }
    if (!own.sweep.empty()) {
        const auto sweep = bench::parse_stretch("--sweep", own.sweep);
        if (!sweep) return sweep.error();
        wish.sweep = *sweep;
        wish.first = own.first == "above" ? bench::BeatSide::above : bench::BeatSide::below;
    }
    return report_of(bench::passband_test(audio.recorded(), wish));
}

}  // namespace

void add_bench_passband(CLI::App& bench, Run& chosen) {
    auto own = std::make_shared<PassbandOptions>();
    CLI::App* verb = add_bench_test(
        bench, chosen,
        {.name = "passband",
         .description = "Widths, shape factor, noise bandwidth, both sides of zero beat",
         .footer = kFooter,
         .caution = kHeadphoneCaution,
         .live_s = 60.0,
         .measure = [own](const BenchAudio& audio, const BenchCommon&) {
             return measure(*own, audio);
         }});
    CLI::Option* steps =
        verb->add_option("--steps", own->steps, "When the generator stood where (CSV, see below)")
            ->type_name("FILE");
    CLI::Option* sweep =
        verb->add_option("--sweep", own->sweep, "The generator was swept in this stretch")
            ->type_name("FROM-TO")
            ->excludes(steps);
    verb->add_option("--first", own->first, "Side of zero beat on which the sweep began")
        ->type_name("SIDE")
        ->capture_default_str()
        ->check(one_of({"above", "below"}))
        ->needs(sweep);
    verb->add_option("--listening", own->config.listening_hz,
                     "Pitch at which both sides are compared")
        ->type_name("HZ")
        ->capture_default_str()
        ->check(number_within({100.0, 3000.0, "Hz"}));
}

}  // namespace skedlark::cli
