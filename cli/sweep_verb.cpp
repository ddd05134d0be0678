// skedlark sweep: stations met while the dial was turned, by division and frequency; where the
// wanted one can still be.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <memory>

#include "cli/chart_options.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/progress.h"
#include "cli/sources.h"
#include "cli/stop_signal.h"
#include "cli/sweep_view.h"
#include "cli/terminal.h"
#include "cli/text_view.h"
#include "dsp/dial/map_file.h"
#include "dsp/dial/marks_file.h"
#include "dsp/dial/receiver_file.h"

namespace skedlark::cli {

namespace {

constexpr const char* kExample =
    "Examples:\n"
    "  skedlark sweep --chart docs/examples/saddle-hut.toml --band 2 \\\n"
    "    --from 40 --to 44 --expect 3.765 recordings/17-sweep.flac\n"
    "  skedlark sweep --chart saddle-hut.toml --marks marks.csv evening.flac\n"
    "  skedlark sweep --chart saddle-hut.toml --expect 3.765 --map tonight.json \\\n"
    "    --from 40 --to 44 --pace 2 --live\n"
    "A file from --from to --to: the dial was turned evenly from its start to its\n"
    "end (or at --pace). Divisions are those at zero beat. Live, a line shows where\n"
    "the dial should be now. --map keeps what was heard and not heard between\n"
    "sweeps, and says where to sweep next.\n"
    "Set the headphones low before a sweep: a strong station comes up suddenly.\n"
    "Exit status: 0 a station was met that is or may be keyed; 1 none was; 2 a file\n"
    "or value cannot be used; 3 cut short from outside.";

constexpr int kBlockFrames = 1600;
constexpr double kReadyS = 5.0;  // to put a hand to the dial before a live sweep
constexpr double kWindowS = 600.0;
// Advised: slower is hard to keep even, faster too short to be heard.
constexpr double kSlowestHzPerS = 250.0;
constexpr double kFastestHzPerS = 5000.0;

struct SweepOptions {
    InputOptions input;
    RecordOptions record;
    std::string chart;
    std::string band;
    std::vector<std::string> known;
    std::optional<double> from_div;
    std::optional<double> to_div;
    std::optional<double> pace_div_per_min;
    std::string marks;
    std::optional<double> expect_mhz;
    StationExpected expected;
    std::string map;
    watch::SweepConfig sweep;
    bool json = false;
};

Error missing(const char* option, const std::string& allowed) {
    return {ErrorCode::invalid_value, fmt::format("{}: is missing; allowed: {}", option, allowed)};
}

class SweepRun {
 public:
    explicit SweepRun(const SweepOptions& options) : options_(options) {}

    ExitStatus run() {
        ExitStatus status = kAnswerNo;
        if (const Status done = work(status); !done) {
            clear_status();
            print_error("sweep", done.error().message);
            status = exit_status(done.error().code);
        }
        if (out_.flush()) return status;
        print_error("sweep", out_.failure()->message);
        return out_.failure()->status;
    }

 private:
    Status work(ExitStatus& status) {
        if (const Status right = check_options(); !right) return right;
        const auto receiver = dial::read_receiver(options_.chart);
        if (!receiver) return receiver.error();
        const auto known = parse_known(options_.known);
        if (!known) return known.error();
        const auto band = band_of(*receiver);
        if (!band) return band.error();
        const auto dial = dial::Dial::create(*receiver, *band, *known);
        if (!dial) return dial.error();
        dial_.emplace(*dial);
        if (options_.expect_mhz) {
            const auto setting = dial->setting(*options_.expect_mhz);
            if (!setting) return setting.error();
            setting_ = *setting;
            if (const Status ready = prepare_map(); !ready) return ready;
        }
        auto input =
            open_input(options_.input, options_.input.live ? "" : options_.input.files.front(),
                       options_.record);
        if (!input) return input.error();
        const auto motion = motion_of(*receiver, input->line);
        if (!motion) return motion.error();
        auto sweep = watch::Sweep::create(*dial, *motion, options_.sweep);
        if (!sweep) return sweep.error();
        return listen(*input, *motion, *sweep, status);
    }

    [[nodiscard]] Status check_options() const {
        if (const Status right = check_input_options(options_.input); !right) return right;
        if (options_.input.files.size() > 1) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("INPUT: {} files, allowed: one sweep at a time",
                                     options_.input.files.size())};
        }
        if (options_.chart.empty()) return missing("--chart", "a receiver file");
        if (!options_.map.empty() && !options_.expect_mhz)
            return missing("--expect", "with --map, the frequency the map is of");
        if (!options_.marks.empty()) {
            if (options_.from_div || options_.to_div || options_.pace_div_per_min)
                return Error{ErrorCode::invalid_value,
                             "--marks: allowed without --from, --to and --pace"};
            if (options_.input.live)
                return Error{ErrorCode::invalid_value,
                             "--marks: allowed with a file; live, --from, --to and --pace"};
            return Done{};
        }
        if (!options_.from_div) return missing("--from", "a division, or --marks FILE");
        if (!options_.to_div) return missing("--to", "a division, or --marks FILE");
        if (*options_.from_div == *options_.to_div)
            return Error{
                ErrorCode::invalid_value,
                fmt::format("--to: {}, allowed: another division than --from", *options_.to_div)};
        if (options_.input.live && !options_.pace_div_per_min)
            return missing("--pace", "live, divisions a minute (skedlark dial tells the safe one)");
        return Done{};
    }

    [[nodiscard]] Result<std::string> band_of(const dial::Receiver& receiver) const {
        if (!options_.band.empty()) return options_.band;
        if (receiver.bands.size() == 1) return receiver.bands.front().name;
        if (!options_.expect_mhz)
            return missing("--band", "bands: " + dial::bands_in_words(receiver));
        const auto with = dial::bands_with(receiver, *options_.expect_mhz);
        if (!with) return with.error();
        return with->front();
    }

    Status prepare_map() {
        const auto chance = chance_of(dial_->receiver(), options_.expected);
        if (!chance) return chance.error();
        chance_.emplace(*chance);
        if (!options_.map.empty()) {
            auto old = dial::read_map(options_.map, *dial_, setting_->mhz);
            if (old) {
                map_.emplace(*std::move(old));
                return Done{};
            }
            if (old.error().code != ErrorCode::not_found) return old.error();
        }
        auto fresh = dial::PlaceMap::create(*dial_, *setting_);
        if (!fresh) return fresh.error();
        map_.emplace(*std::move(fresh));
        return Done{};
    }

    [[nodiscard]] Result<dial::Motion> motion_of(const dial::Receiver& receiver,
                                                 const InputLine& line) const {
        if (!options_.marks.empty()) {
            auto marks = dial::read_marks(options_.marks);
            if (!marks) return marks.error();
            auto motion = dial::Motion::marked(*std::move(marks), receiver.reading_sd_div);
            if (!motion)
                return Error{motion.error().code, options_.marks + ": " + motion.error().message};
            return motion;
        }
        double seconds = line.seconds.value_or(0.0);
        if (options_.pace_div_per_min) {
            seconds =
                60.0 * std::abs(*options_.to_div - *options_.from_div) / *options_.pace_div_per_min;
        }
        if (!(seconds > 0.0))
            return missing("--pace",
                           "divisions a minute, where the length of the audio is not known");
        return dial::Motion::paced(*options_.from_div, *options_.to_div, seconds,
                                   receiver.reading_sd_div);
    }

    // Audio of the time before the dial moves is let go.
    Status get_ready(OpenInput& input, const dial::Motion& motion) {
        if (!options_.input.live) return Done{};
        side_.write(fmt::format("Set the dial to {:.2f}. It moves to {:.2f} in {}.\n",
                                motion.marks().front().div, motion.marks().back().div,
                                clock_text(motion.marks().back().at_s)));
        side_.flush();
        std::vector<float> block(kBlockFrames);
        FrameIndex let_go = 0;
        while (static_cast<double>(let_go) < kReadyS * kWorkRateHz) {
            const auto read = input.source->read(block);
            if (!read) return read.error();
            if (read->end) break;
            let_go += read->frames;
            show_status(
                fmt::format("starts in {:.0f} s",
                            std::ceil(kReadyS - static_cast<double>(let_go) / kWorkRateHz)));
        }
        return Done{};
    }

    Status listen(OpenInput& input, const dial::Motion& motion, watch::Sweep& sweep,
                  ExitStatus& status) {
        const StopOnSignal stopping(*input.source);
        if (const Status ready = get_ready(input, motion); !ready) return ready;
        Progress progress(Progress::Clock::now());
        std::vector<float> block(kBlockFrames);
        FrameIndex heard = 0;
        const double whole_s = motion.marks().back().at_s;
        Status ended = Done{};
        while (true) {
            const auto read = input.source->read(block);
            if (!read) {
                ended = read.error();  // what was heard until then is still told
                break;
            }
            if (!read->lost_reason.empty()) {
                clear_status();
                side_.write(fmt::format("-- audio lost at {}: {}\n",
                                        clock_text(static_cast<double>(heard) / kWorkRateHz),
                                        read->lost_reason));
                side_.flush();
            }
            sweep.process({block.data(), static_cast<std::size_t>(read->frames)});
            heard += read->frames;
            const double now_s = static_cast<double>(heard) / kWorkRateHz;
            tell_new(sweep);
            prompt(motion, now_s, whole_s, progress);
            if (out_.failure() || read->end) break;
            if (options_.input.live && now_s >= whole_s) break;
        }
        sweep.finish();
        tell_new(sweep);
        clear_status();
        const double seconds = static_cast<double>(heard) / kWorkRateHz;
        const Status told = conclude(motion, sweep, seconds, status);
        if (!ended) return ended;
        if (!told) return told;
        if (input.recorder) {
            if (const Status closed = input.recorder->close(); !closed) return closed;
        }
        if (stop_signal_seen() && seconds < whole_s) {
            print_error("sweep", fmt::format("{}: stopped before its end", input.line.name));
            status = kCutShort;
        }
        return Done{};
    }

    void prompt(const dial::Motion& motion, double now_s, double whole_s, Progress& progress) {
        if (options_.input.live) {
            const double div = motion.at(std::min(now_s, whole_s)).div;
            const std::string where = fmt::format("the dial should be at {:.1f}   {} of {}", div,
                                                  clock_text(now_s), clock_text(whole_s));
            if (side_terminal_.can_redraw) {
                show_status(where);
            } else if (std::floor(div) != std::floor(last_prompt_)) {
                side_.write(where + "\n");
                side_.flush();
            }
            last_prompt_ = div;
            return;
        }
        if (const auto line = progress.line(now_s, whole_s, Progress::Clock::now()))
            show_status(*line);
    }

    void tell_new(const watch::Sweep& sweep) {
        if (sweep.count() == told_) return;
        const auto stations = sweep.stations();
        clear_status();
        if (told_ == 0 && !options_.json) out_.write(sweep_heading());
        for (; told_ < stations.size(); ++told_)
            out_.write(options_.json ? station_json(stations[told_])
                                     : station_text(stations[told_]));
        out_.flush();
    }

    Status conclude(const dial::Motion& motion, const watch::Sweep& sweep, double seconds,
                    ExitStatus& status) {
        SweepTold told;
        told.seconds = seconds;
        told.from_div = motion.marks().front().div;
        told.to_div = motion.at(std::min(seconds, motion.marks().back().at_s)).div;
        told.stations = sweep.stations();
        if (map_) {
            if (const Status heard = sweep.update(*map_, *chance_, seconds); !heard) return heard;
            told.map = &*map_;
            const double run_on = dial::run_on_div(dial_->receiver().audio, setting_->khz_per_div);
            const double fastest = 0.06 * kFastestHzPerS / setting_->khz_per_div;
            const double slowest = 0.06 * kSlowestHzPerS / setting_->khz_per_div;
            const auto next =
                dial::next_stretch(*map_, *chance_,
                                   {.window_s = kWindowS,
                                    .run_on_div = run_on,
                                    .slowest_div_per_min = std::clamp(slowest, 0.01, 29.0),
                                    .fastest_div_per_min = std::clamp(
                                        fastest, 1.1 * std::clamp(slowest, 0.01, 29.0), 33.0)});
            if (!next) return next.error();
            told.next = *next;
        }
        told.go_back = likeliest(told.stations);
        if (told.go_back != nullptr) {
            status = kDone;
            if (const auto back = dial_->setting(told.go_back->mhz))
                told.go_back_listen_div = told.go_back->div + back->listen_div - back->div;
        }
        out_.write(options_.json ? sweep_json(told) : "");
        if (!options_.json) side_.write(sweep_text(told, dial_->receiver().audio.pitch_hz));
        side_.flush();
        if (map_ && !options_.map.empty()) return dial::write_map(options_.map, *map_);
        return Done{};
    }

    // Where the map says most, or the strongest; steady carriers are not gone back to.
    [[nodiscard]] const watch::SweepStation* likeliest(
        const std::vector<watch::SweepStation>& stations) const {
        const watch::SweepStation* best = nullptr;
        double most = 0.0;
        for (const watch::SweepStation& one : stations) {
            if (one.heard.broadcast || !one.heard.keyed.value_or(true)) continue;
            const double worth = map_ ? map_->chance_between(one.low95_div, one.high95_div)
                                      : power_from_db(one.heard.snr_2500hz_db);
            if (best != nullptr && worth <= most) continue;
            best = &one;
            most = worth;
        }
        return best;
    }

    void show_status(const std::string& line) {
        if (!side_terminal_.can_redraw) return;
        side_.write("\r" + line + "\x1b[K");
        side_.flush();
        status_ = true;
    }
    void clear_status() {
        if (!status_) return;
        side_.write("\r\x1b[K");
        side_.flush();
        status_ = false;
    }

    const SweepOptions& options_;
    Terminal side_terminal_ = terminal_at(2);
    Output out_{1};
    Output side_{2};
    std::optional<dial::Dial> dial_;
    std::optional<dial::Setting> setting_;
    std::optional<dial::ChanceByRate> chance_;
    std::optional<dial::PlaceMap> map_;
    std::size_t told_ = 0;
    double last_prompt_ = 1e300;
    bool status_ = false;
};

}  // namespace

void add_sweep(CLI::App& program, Run& chosen) {
    auto options = std::make_shared<SweepOptions>();
    CLI::App* verb = program.add_subcommand(
        "sweep", "Stations met while the dial moved; where the wanted one can still be");
    add_input_options(*verb, options->input);
    verb->add_option("--chart", options->chart, "Receiver file (TOML, see docs/file-formats.md)")
        ->type_name("FILE");
    verb->add_option("--band", options->band, "Band; default: the finest that holds --expect")
        ->type_name("NAME");
    const auto division = number_within({dial::kMinDiv, dial::kMaxDiv, "divisions"});
    verb->add_option("--from", options->from_div, "Division the dial starts at")
        ->type_name("DIV")
        ->check(division);
    verb->add_option("--to", options->to_div, "Division it is turned to")
        ->type_name("DIV")
        ->check(division);
    verb->add_option("--pace", options->pace_div_per_min,
                     "Divisions a minute; default: by the length of the file")
        ->type_name("DIV/MIN")
        ->check(number_within({0.01, 1000.0, "divisions a minute"}));
    verb->add_option("--marks", options->marks,
                     "Where the dial was, instead (CSV: seconds,division)")
        ->type_name("FILE");
    verb->add_option("--expect", options->expect_mhz, "Frequency of the wanted station")
        ->type_name("MHZ")
        ->check(number_within({dial::kMinMhz, dial::kMaxMhz, "MHz"}));
    verb->add_option("--known", options->known,
                     "A station of known frequency stands at this division today; repeatable")
        ->type_name("MHZ=DIV")
        ->expected(1)
        ->multi_option_policy(CLI::MultiOptionPolicy::TakeAll);
    verb->add_option("--map", options->map, "Where-is-it map of --expect, kept here between sweeps")
        ->type_name("FILE");
    verb->add_option("--false-alarms-per-hour", options->sweep.false_alarms_per_hour,
                     "How often noise alone may be taken for a station")
        ->type_name("N")
        ->capture_default_str()
        ->check(number_within({0.001, 1000.0, "an hour"}));
    add_expected_options(*verb, options->expected);
    verb->add_option("--record", options->record.folder, "Keep what is heard in this folder")
        ->type_name("DIR");
    verb->add_flag("--json", options->json, "Events as JSON Lines");
    verb->footer(kExample);
    verb->callback([options, &chosen] { chosen = [options] { return SweepRun(*options).run(); }; });
}

}  // namespace skedlark::cli
