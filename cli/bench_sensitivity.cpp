// skedlark bench sensitivity: (S+N)/N, and the level for a stated ratio.
#include <memory>

#include "cli/bench_run.h"
#include "dsp/bench/whole_test.h"

namespace skedlark::cli {

namespace {

constexpr const char* kFooter =
    "Examples:\n"
    "  skedlark bench sensitivity on-off.wav\n"
    "  skedlark bench sensitivity series.wav --levels series.csv --generator-db 1\n"
    "  skedlark bench sensitivity series.wav --levels series.csv --image image.wav\n"
    "      --image-levels image.csv\n"
    "On and off: record 10 s with the generator on and 10 s off, in any order, the gain set\n"
    "by hand and left alone; the stretches are found. A series: raise the generator step by\n"
    "step, 5 s and more each, one step with it off; the CSV says when and how much:\n"
    "  seconds,dbm        (or microvolt, microvolt_emf; step instead of seconds counts)\n"
    "  0,off\n"
    "  10,-120\n"
    "  20,-115\n"
    "  30,end\n"
    "A third column mhz holds several points of a band; dead spots are named.\n"
    "Names for --limits: s_plus_n_over_n_db sinad_db level_for_10db_dbm\n"
    "  level_for_10db_microvolt level_for_sinad_12db_dbm level_for_sinad_12db_microvolt\n"
    "  rise_db_per_db image_db dead_spots spread_db\n"
    "Exit status: 0 measured; 1 a limit is not kept; 2 cannot be measured; 3 cut short.";

struct SensitivityOptions {
    ToneOptions tone{};
    std::string levels{};
    std::string image{};
    std::string image_levels{};
    double generator_db = 0.0;
};

Result<bench::Report> measure(const SensitivityOptions& own, const BenchAudio& audio,
                              const BenchCommon& common) {
    bench::SensitivityWish wish;
    wish.tone = tone_config(own.tone);
    wish.generator_95_db = own.generator_db;
    BenchAudio image;
    if (!own.levels.empty()) {
        const auto steps = bench::read_levels(own.levels);
        if (!steps) return steps.error();
        wish.levels = *steps;
    }
    if (!own.image.empty()) {
        auto other = read_bench_audio(common, own.image, 0.0);
        if (!other) return other.error();
        const auto steps = bench::read_levels(own.image_levels);
        if (!steps) return steps.error();
        image = std::move(*other);
        wish.image = bench::LevelSeries{image.recorded(), *steps};
    }
    return report_of(bench::sensitivity_test(audio.recorded(), wish, common.chain_or_none()));
}

}  // namespace

void add_bench_sensitivity(CLI::App& bench, Run& chosen) {
    auto own = std::make_shared<SensitivityOptions>();
    CLI::App* verb =
        add_bench_test(bench, chosen,
                       {.name = "sensitivity",
                        .description = "(S+N)/N, and the level for 10 dB of it and 12 dB SINAD",
                        .footer = kFooter,
                        .caution = kHeadphoneCaution,
                        .live_s = 30.0,
                        .measure = [own](const BenchAudio& audio, const BenchCommon& common) {
                            return measure(*own, audio, common);
                        }});
    add_tone_options(*verb, own->tone);
    CLI::Option* levels =
        verb->add_option("--levels", own->levels, "Generator levels of a series (CSV, see below)")
            ->type_name("FILE");
    verb->add_option("--generator-db", own->generator_db, "How sure those levels are, 95 %")
        ->type_name("DB")
        ->capture_default_str()
        ->check(number_within({0.0, 20.0, "dB"}))
        ->needs(levels);
    CLI::Option* image =
        verb->add_option("--image", own->image, "A series at the image frequency, too")
            ->type_name("FILE")
            ->needs(levels);
    CLI::Option* image_levels =
        verb->add_option("--image-levels", own->image_levels, "Its generator levels")
            ->type_name("FILE")
            ->needs(image);
    image->needs(image_levels);
}

}  // namespace skedlark::cli
