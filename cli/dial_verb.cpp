// skedlark dial: division for a frequency and back, sweep limits and plan, charts from measured
// pairs.
#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "cli/chart_options.h"
#include "cli/dial_view.h"
#include "cli/options.h"
#include "cli/output.h"
#include "dsp/core/text_file.h"
#include "dsp/dial/receiver_file.h"

namespace skedlark::cli {

namespace {

constexpr const char* kExample =
    "Examples:\n"
    "  skedlark dial --chart docs/examples/saddle-hut.toml --mhz 3.57 --window 3\n"
    "  skedlark dial --chart saddle-hut.toml --div 57 --band 2 --known 5=56.4\n"
    "  skedlark dial --pairs measured.csv --band 2 --name 'Hut set' --out hut-set.toml\n"
    "Without --mhz, --div or --pairs: the bands, and standard frequencies to check them by.\n"
    "Divisions are those at zero beat. Set the headphones low before a sweep: a strong station\n"
    "comes up suddenly.\n"
    "Exit status: 0 done; 1 done, but a known station or a measured pair does not fit, or the\n"
    "station is too weak for the chance wanted; 2 a file or value cannot be used.";

struct DialOptions {
    std::string chart;
    std::optional<double> mhz;
    std::optional<double> div;
    std::string band;
    std::vector<std::string> known;
    StationExpected expected;
    dial::SweepWish wish;
    std::optional<double> limits_percent;
    double noticed_percent = 90.0;
    std::optional<double> window_min;
    std::string pairs;
    std::string name = "Receiver";
    std::string out;
    bool json = false;
};

class DialRun {
 public:
    explicit DialRun(const DialOptions& options) : options_(options) {}

    ExitStatus run() {
        ExitStatus status = kDone;
        if (const Status done = work(status); !done) {
            print_error("dial", done.error().message);
            status = exit_status(done.error().code);
        }
        if (out_.flush()) return status;
        print_error("dial", out_.failure()->message);
        return out_.failure()->status;
    }

 private:
    Status work(ExitStatus& status) {
        if (!options_.pairs.empty()) return chart_from_pairs(status);
        if (options_.chart.empty()) {
            return Error{ErrorCode::invalid_value, "--chart: is missing; allowed: a receiver file"};
        }
        const auto receiver = dial::read_receiver(options_.chart);
        if (!receiver) return receiver.error();
        const auto known = parse_known(options_.known);
        if (!known) return known.error();
        std::vector<std::string> bands;
        if (!options_.band.empty()) {
            bands = {options_.band};
        } else if (options_.mhz) {
            auto with = dial::bands_with(*receiver, *options_.mhz);
            if (!with) return with.error();
            bands = *with;
        } else {
            if (options_.div || !known->empty()) return band_missing(*receiver);
            for (const dial::Band& band : receiver->bands) bands.push_back(band.name);
        }
        // A known station stands on one band only.
        if (!known->empty()) bands.resize(1);
        for (const std::string& band : bands) {
            const auto dial = dial::Dial::create(*receiver, band, *known);
            if (!dial) return dial.error();
            if (const Status told = tell(*dial, status); !told) return told;
        }
        return Done{};
    }

    static Status band_missing(const dial::Receiver& receiver) {
        return Error{ErrorCode::invalid_value,
                     "--band: is missing; bands: " + dial::bands_in_words(receiver)};
    }

    Status tell(const dial::Dial& dial, ExitStatus& status) {
        for (const dial::KnownFit& known : dial.correction().stations) {
            if (!known.fits) status = kAnswerNo;
        }
        if (options_.div) return tell_place(dial);
        if (options_.mhz) return tell_setting(dial, status);
        out_.write(options_.json ? band_json(dial) : band_text(dial));
        return Done{};
    }

    Status tell_place(const dial::Dial& dial) {
        const dial::Receiver& receiver = dial.receiver();
        if (!(*options_.div >= receiver.from_div && *options_.div <= receiver.to_div)) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("--div: {} is not on the dial; allowed: {} to {}",
                                     *options_.div, receiver.from_div, receiver.to_div)};
        }
        out_.write(options_.json ? place_json(dial, *options_.div)
                                 : place_text(dial, *options_.div) + known_text(dial));
        return Done{};
    }

    Status tell_setting(const dial::Dial& dial, ExitStatus& status) {
        const auto setting = dial.setting(*options_.mhz);
        if (!setting) return setting.error();
        const auto chance = chance_of(dial.receiver(), options_.expected);
        if (!chance) return chance.error();
        dial::SweepWish wish = options_.wish;
        if (options_.limits_percent) wish.limits_chance = *options_.limits_percent / 100.0;
        wish.noticed_chance = options_.noticed_percent / 100.0;
        const auto sweep = dial::plan_sweep(dial, *setting, *chance, wish);
        if (!sweep) return sweep.error();
        if (!sweep->sweep_min) status = kAnswerNo;
        SettingTold told{*setting, *sweep, {}, options_.window_min.value_or(0.0)};
        if (options_.window_min) {
            const auto map = dial::PlaceMap::create(dial, *setting);
            if (!map) return map.error();
            const auto search =
                dial::plan_search(*map, *chance,
                                  {.window_s = 60.0 * *options_.window_min,
                                   .run_on_div = sweep->run_on_div,
                                   .fastest_div_per_min = wish.fastest_div_per_min});
            if (!search) return search.error();
            told.search = *search;
        }
        out_.write(options_.json ? setting_json(dial, told)
                                 : setting_text(dial, told) + known_text(dial));
        return Done{};
    }

    // The receiver the new chart belongs to: that of --chart, or one that holds just these pairs.
    [[nodiscard]] Result<dial::Receiver> receiver_for(
        const std::vector<dial::ChartPoint>& pairs) const {
        if (!options_.chart.empty()) return dial::read_receiver(options_.chart);
        dial::Receiver receiver;
        receiver.name = options_.name;
        for (const dial::ChartPoint& pair : pairs) {
            receiver.from_div = std::min(receiver.from_div, pair.div);
            receiver.to_div = std::max(receiver.to_div, pair.div);
        }
        return receiver;
    }

    Status chart_from_pairs(ExitStatus& status) {
        if (options_.band.empty()) {
            return Error{ErrorCode::invalid_value, "--band: is missing; name the band measured"};
        }
        const auto pairs = dial::read_pairs(options_.pairs);
        if (!pairs) return pairs.error();
        auto receiver = receiver_for(*pairs);
        if (!receiver) return receiver.error();
        const auto made = dial::make_chart(*receiver, options_.band, *pairs);
        if (!made) {
            return Error{made.error().code, options_.pairs + ": " + made.error().message};
        }
        for (const dial::PairFit& pair : made->pairs) {
            if (!pair.fits) status = kAnswerNo;
        }
        out_.write(options_.json ? measured_json(*made) : measured_text(*made));
        if (options_.out.empty()) return Done{};
        const auto same = std::find_if(receiver->bands.begin(), receiver->bands.end(),
                                       [&](const auto& b) { return b.name == options_.band; });
        if (same == receiver->bands.end()) {
            receiver->bands.push_back(made->band);
        } else {
            *same = made->band;
        }
        if (const Status right = dial::check(*receiver); !right) return right;
        return replace_file(options_.out, dial::receiver_toml(*receiver));
    }

    const DialOptions& options_;
    Output out_{1};
};

void add_plan_options(CLI::App& verb, DialOptions& options) {
    CLI::Option* each = verb.add_option("--each-side", options.wish.each_side_div,
                                        "Sweep so many divisions each side of the setting")
                            ->type_name("DIV")
                            ->capture_default_str()
                            ->check(number_within({0.01, 1000.0, "divisions"}));
    verb.add_option("--limits", options.limits_percent,
                    "Sweep where the station is with this chance instead")
        ->type_name("%")
        ->excludes(each)
        ->check(number_within({10.0, 99.9, "%"}));
    verb.add_option("--notice", options.noticed_percent,
                    "Chance to notice the station when the sweep passes it")
        ->type_name("%")
        ->capture_default_str()
        ->check(number_within({5.0, 99.0, "%"}));
    verb.add_option("--fastest", options.wish.fastest_div_per_min,
                    "Fastest the dial can be turned evenly")
        ->type_name("DIV/MIN")
        ->capture_default_str()
        ->check(number_within({0.3, 1000.0, "divisions a minute"}));
    verb.add_option("--window", options.window_min,
                    "Minutes there are: which stretches to sweep in them, and in which order")
        ->type_name("MIN")
        ->check(number_within({0.1, 1440.0, "min"}));
}

void add_pair_options(CLI::App& verb, DialOptions& options) {
    CLI::Option* pairs =
        verb.add_option("--pairs", options.pairs,
                        "Make a chart of --band from measured pairs (CSV: division,MHz)")
            ->type_name("FILE");
    verb.add_option("--name", options.name, "Name of the receiver, where there is no --chart")
        ->type_name("NAME")
        ->capture_default_str()
        ->needs(pairs);
    verb.add_option("--out", options.out, "Write the receiver file with the new chart here")
        ->type_name("FILE")
        ->needs(pairs);
}

}  // namespace

void add_dial(CLI::App& program, Run& chosen) {
    auto options = std::make_shared<DialOptions>();
    CLI::App* verb = program.add_subcommand(
        "dial", "Division for a frequency and back, sweep limits, speed and plan");
    verb->add_option("--chart", options->chart, "Receiver file (TOML, see docs/file-formats.md)")
        ->type_name("FILE");
    CLI::Option* mhz = verb->add_option("--mhz", options->mhz, "Frequency to set the dial to")
                           ->type_name("F")
                           ->check(number_within({dial::kMinMhz, dial::kMaxMhz, "MHz"}));
    verb->add_option("--div", options->div, "Division to tell the frequency of")
        ->type_name("D")
        ->excludes(mhz)
        ->check(number_within({dial::kMinDiv, dial::kMaxDiv, "divisions"}));
    verb->add_option("--band", options->band, "Band; with --mhz default: every one that holds it")
        ->type_name("NAME");
    verb->add_option("--known", options->known,
                     "A station of known frequency stands at this division today; repeatable")
        ->type_name("MHZ=DIV")
        ->allow_extra_args(false);
    add_plan_options(*verb, *options);
    add_expected_options(*verb, options->expected);
    add_pair_options(*verb, *options);
    verb->add_flag("--json", options->json, "JSON Lines");
    verb->footer(kExample);
    verb->callback([options, &chosen] { chosen = [options] { return DialRun(*options).run(); }; });
}

}  // namespace skedlark::cli
