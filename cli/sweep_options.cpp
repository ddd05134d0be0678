#include "cli/sweep_options.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/dial/marks_file.h"

namespace skedlark::cli {

namespace {

Error missing(const char* option, const std::string& allowed) {
    return {ErrorCode::invalid_value, fmt::format("{}: is missing; allowed: {}", option, allowed)};
}
Error only(const char* option, const char* allowed) {
    return {ErrorCode::invalid_value, fmt::format("{}: allowed {}", option, allowed)};
}

}  // namespace

Status check_sweep_options(const SweepOptions& options) {
    if (const Status right = check_input_options(options.input); !right) return right;
    if (options.input.files.size() > 1) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("INPUT: {} files, allowed: one sweep at a time",
                                 options.input.files.size())};
    }
    if (options.chart.empty()) return missing("--chart", "a receiver file");
    if (!options.map.empty() && !options.expect_mhz)
        return missing("--expect", "with --map, the frequency the map is of");
    if (!options.marks.empty()) {
        if (options.from_div || options.to_div || options.pace_div_per_min || options.step_div ||
            options.press)
            return only("--marks", "without --from, --to, --pace, --step and --press");
        if (options.input.live)
            return only("--marks",
                        "with a file; live, --from and --to with --pace, --step or --press");
        return Done{};
    }
    if (!options.from_div) return missing("--from", "a division, or --marks FILE");
    if (!options.to_div) return missing("--to", "a division, or --marks FILE");
    if (*options.from_div == *options.to_div)
        return Error{
            ErrorCode::invalid_value,
            fmt::format("--to: {}, allowed: another division than --from", *options.to_div)};
    if (options.press && !options.input.live)
        return only("--press", "with --live; for a file, --marks FILE");
    if (options.step_div && (options.press || options.pace_div_per_min))
        return only("--step", "without --pace and --press");
    if (options.input.live && !options.pace_div_per_min && !options.step_div && !options.press)
        return missing("--pace",
                       "live, divisions a minute (skedlark dial tells the safe one), or --step or "
                       "--press");
    return Done{};
}

Result<std::string> band_of(const SweepOptions& options, const dial::Receiver& receiver) {
    if (!options.band.empty()) return options.band;
    if (receiver.bands.size() == 1) return receiver.bands.front().name;
    if (!options.expect_mhz) return missing("--band", "bands: " + dial::bands_in_words(receiver));
    const auto with = dial::bands_with(receiver, *options.expect_mhz);
    if (!with) return with.error();
    return with->front();
}

Result<dial::Motion> motion_of(const SweepOptions& options, const dial::Receiver& receiver,
                               std::optional<double> audio_s) {
    if (!options.marks.empty()) {
        auto marks = dial::read_marks(options.marks);
        if (!marks) return marks.error();
        if (audio_s && marks->back().at_s > *audio_s + 1.0) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("{}: mark at {} s, allowed up to the end of the audio at "
                                     "{:.1f} s",
                                     options.marks, marks->back().at_s, *audio_s)};
        }
        auto motion = dial::Motion::marked(*std::move(marks), receiver.reading_sd_div);
        if (!motion)
            return Error{motion.error().code, options.marks + ": " + motion.error().message};
        return motion;
    }
    if (options.step_div) {
        return dial::Motion::stepped(
            {*options.from_div, *options.to_div, *options.step_div, options.rest_s, options.move_s},
            receiver.reading_sd_div);
    }
    double seconds = audio_s.value_or(0.0);
    if (options.pace_div_per_min) {
        seconds = 60.0 * std::abs(*options.to_div - *options.from_div) / *options.pace_div_per_min;
    }
    if (!(seconds > 0.0))
        return missing("--pace", "divisions a minute, where the length of the audio is not known");
    return dial::Motion::paced(*options.from_div, *options.to_div, seconds,
                               receiver.reading_sd_div);
}

void add_sweep_options(CLI::App& verb, SweepOptions& options) {
    add_input_options(verb, options.input);
    verb.add_option("--chart", options.chart, "Receiver file (TOML, see docs/file-formats.md)")
        ->type_name("FILE");
    verb.add_option("--band", options.band, "Band; default: the finest that holds --expect")
        ->type_name("NAME");
    const auto division = number_within({dial::kMinDiv, dial::kMaxDiv, "divisions"});
    verb.add_option("--from", options.from_div, "Division the dial starts at")
        ->type_name("DIV")
        ->check(division);
    verb.add_option("--to", options.to_div, "Division it is turned to")
        ->type_name("DIV")
        ->check(division);
    verb.add_option("--pace", options.pace_div_per_min,
                    "Divisions a minute; default: by the length of the file")
        ->type_name("DIV/MIN")
        ->check(number_within({0.01, 1000.0, "divisions a minute"}));
    verb.add_option("--step", options.step_div,
                    "Turn by so many divisions at a time instead, and rest")
        ->type_name("DIV")
        ->check(number_within({0.001, 1000.0, "divisions"}));
    verb.add_option("--rest", options.rest_s, "How long the dial rests, with --step")
        ->type_name("S")
        ->capture_default_str()
        ->check(number_within({dial::Motion::kLeastRestS, 3600.0, "s"}));
    verb.add_option("--move", options.move_s, "Time to turn it to the next rest, with --step")
        ->type_name("S")
        ->capture_default_str()
        ->check(number_within({0.5, 60.0, "s"}));
    verb.add_flag("--press", options.press,
                  "Live, at your own pace: press the space bar at each whole division");
    verb.add_option("--marks", options.marks, "Where the dial was, instead (CSV: seconds,division)")
        ->type_name("FILE");
    verb.add_option("--expect", options.expect_mhz, "Frequency of the wanted station")
        ->type_name("MHZ")
        ->check(number_within({dial::kMinMhz, dial::kMaxMhz, "MHz"}));
    verb.add_option("--known", options.known,
                    "A station of known frequency stands at this division today; repeatable")
        ->type_name("MHZ=DIV")
        ->allow_extra_args(false);
    verb.add_option("--map", options.map, "Where-is-it map of --expect, kept here between sweeps")
        ->type_name("FILE");
    verb.add_option("--false-alarms-per-hour", options.sweep.false_alarms_per_hour,
                    "How often noise alone may be taken for a station")
        ->type_name("N")
        ->capture_default_str()
        ->check(number_within({0.001, 1000.0, "an hour"}));
    add_expected_options(verb, options.expected);
    verb.add_option("--record", options.record.folder, "Keep what is heard in this folder")
        ->type_name("DIR");
    verb.add_option("--call", options.sweep.calls,
                    "A call that tells the wanted station, where text is copied; repeatable")
        ->type_name("CALL")
        ->allow_extra_args(false);
    verb.add_flag("--no-zero-in", options.no_zero_in,
                  "End with the sweep: no help to find the listening pitch after it");
    add_log_options(verb, options.log);
    verb.add_flag("--json", options.json, "Events as JSON Lines");
}

}  // namespace skedlark::cli
