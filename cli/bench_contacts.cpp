// skedlark bench contacts: dropouts and crackle while something is moved.
#include <memory>

#include "cli/bench_run.h"
#include "dsp/bench/step_file.h"
#include "dsp/bench/whole_test.h"

namespace skedlark::cli {

namespace {

constexpr const char* kFooter =
    "Examples:\n"
    "  skedlark bench contacts plug.wav --touched 20-40 --touched 60-80\n"
    "  skedlark bench contacts valve.flac --touched 20-40 --json\n"
    "Record the receiver's own noise, aerial off and volume up, or a steady tone: first a\n"
    "while at rest, then moving one plug, valve or switch. --touched says when; the rest\n"
    "of the recording is at rest, or what --at-rest says. Noise of the air swings by\n"
    "itself, so that only deep dropouts can be told in it.\n"
    "Names for --limits: dropouts_touched_per_min dropouts_at_rest_per_min\n"
    "  crackles_touched_per_min crackles_at_rest_per_min\n"
    "Exit status: 0 measured; 1 a limit is not kept; 2 cannot be measured; 3 cut short.";

struct ContactsOptions {
    std::vector<std::string> touched{};
    std::vector<std::string> at_rest{};
    double least_db = 3.0;
};

Status read_stretches(const char* option, const std::vector<std::string>& texts,
                      std::vector<bench::Stretch>& stretches) {
    for (const std::string& text : texts) {
        const auto stretch = bench::parse_stretch(option, text);
        if (!stretch) return stretch.error();
        stretches.push_back(*stretch);
    }
    return Done{};
}

Result<bench::Report> measure(const ContactsOptions& own, const BenchAudio& audio) {
    bench::ContactsConfig config;
    config.least_depth_db = own.least_db;
    if (Status s = read_stretches("--touched", own.touched, config.touched); !s) return s.error();
    if (Status s = read_stretches("--at-rest", own.at_rest, config.at_rest); !s) return s.error();
    return report_of(bench::contacts_test(audio.recorded(), std::move(config)));
}

}  // namespace

void add_bench_contacts(CLI::App& bench, Run& chosen) {
    auto own = std::make_shared<ContactsOptions>();
    CLI::App* verb =
        add_bench_test(bench, chosen,
                       {.name = "contacts",
                        .description = "Dropouts and crackle while plug, valve or switch is moved",
                        .footer = kFooter,
                        .caution = kHighVoltageCaution,
                        .live_s = 60.0,
                        .measure = [own](const BenchAudio& audio, const BenchCommon&) {
                            return measure(*own, audio);
                        }});
    verb->add_option("--touched", own->touched, "Something was moved in this stretch; repeatable")
        ->type_name("FROM-TO")
        ->allow_extra_args(false);
    verb->add_option("--at-rest", own->at_rest, "Nothing was; default: all the rest; repeatable")
        ->type_name("FROM-TO")
        ->allow_extra_args(false);
    verb->add_option("--least", own->least_db, "Shallower events are not told")
        ->type_name("DB")
        ->capture_default_str()
        ->check(number_within({1.0, 40.0, "dB"}));
}

}  // namespace skedlark::cli
