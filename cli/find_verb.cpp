// skedlark find: which tones are there, keyed or not, with their odds.
#include <fmt/format.h>

#include <map>
#include <memory>

#include "cli/options.h"
#include "cli/status_line.h"
#include "cli/terminal.h"
#include "cli/text_view.h"
#include "cli/watching.h"

namespace skedlark::cli {

namespace {

constexpr const char* kExample =
    "Example:\n"
    "  skedlark find --false-alarms-per-hour 0.1 evening.flac\n"
    "A line stands for what is known about a tone at that time; a later line of the same tone "
    "replaces it.\n"
    "SNR is with the key down, in 2500 Hz. Odds are the chance that noise alone gives a tone as "
    "clear.\n"
    "A live watch is kept in the log (skedlark log).\n"
    "Exit status: 0 a tone was found; 1 none was; 2 cannot read an input; 3 cut short from "
    "outside.";

std::string kind_of(const ToneEvent& tone) {
    return !tone.keyed ? "unknown" : *tone.keyed ? "keyed" : "not keyed";
}

std::string shown_odds(double odds) {
    // Below what a double can hold, or nearly so.
    return odds < 1.0e-300 ? "below 1e-300" : fmt::format("{:.2g}", odds);
}

class FindPrinter final : public Printer {
 public:
    explicit FindPrinter(bool json) : json_(json) {}

    void begin(const InputLine& input, bool several) override {
        start_ = input.utc;
        tones_.clear();
        if (json_) {
            out_.write(json_line(input));
        } else {
            out_.write(several ? input.name + ":\n" : "");
        }
        out_.flush();
    }
    void show(const std::vector<Event>& events) override {
        status_.clear();
        for (const Event& event : events) {
            if (const auto* tone = std::get_if<ToneEvent>(&event)) {
                show_tone(*tone);
            } else if (const auto* summary = std::get_if<SummaryEvent>(&event)) {
                show_end(summary->seconds);
            } else if (json_) {
                out_.write(json_line(event, start_));
            } else {
                side_.write(remark(event) + "\n");
            }
        }
        side_.flush();
        out_.flush();
    }
    void show_status(const std::string& status) override { status_.show(status); }
    void end() override { status_.clear(); }
    [[nodiscard]] bool answer() const override { return !tones_.empty(); }
    [[nodiscard]] Output& output() override { return out_; }

 private:
    void show_tone(const ToneEvent& tone) {
        if (json_) {
            out_.write(json_line(Event(tone), start_));
        } else {
            if (tones_.empty()) {
                out_.write(
                    "    time  tone      pitch  kind            SNR  odds of a false alarm\n");
            }
            out_.write(fmt::format("{:>8}  {:>4}  {:>6.1f} Hz  {:<9}  {:>5.1f} dB  {}\n",
                                   clock_text(seconds_from_frames(tone.at_frame)), tone.tone,
                                   tone.pitch_hz, kind_of(tone), tone.snr_2500hz_db,
                                   shown_odds(tone.false_alarm_odds)));
        }
        tones_.insert_or_assign(tone.tone, tone);
    }
    void show_end(double seconds) {
        if (json_) {
            std::vector<ToneEvent> latest;
            for (const auto& [number, tone] : tones_) {
                latest.push_back(tone);
            }
            out_.write(json_found_line(seconds, latest));
            return;
        }
        const auto keyed = std::count_if(tones_.begin(), tones_.end(), [](const auto& entry) {
            return entry.second.keyed.value_or(false);
        });
        side_.write(fmt::format("-- {} of audio, {} tone{} found, {} keyed\n", clock_text(seconds),
                                tones_.size(), tones_.size() == 1 ? "" : "s", keyed));
    }

    bool json_;
    Output out_{1};
    Output side_{2};
    StatusLine status_{side_, terminal_at(2).can_redraw};
    std::optional<UtcTime> start_;
    std::map<int, ToneEvent> tones_;
};

struct FindOptions {
    WatchingOptions watching;
    double pitch_hz = 0.0;
    bool json = false;
};

ExitStatus run_find(FindOptions options) {
    options.watching.verb = "find";
    options.watching.watch.tones = 0;
    if (options.pitch_hz > 0.0) {
        options.watching.watch.pitch_hz = options.pitch_hz;
    }
    FindPrinter printer(options.json);
    return watch_inputs(options.watching, printer);
}

}  // namespace

void add_find(CLI::App& program, Run& chosen) {
    auto options = std::make_shared<FindOptions>();
    CLI::App* verb =
        program.add_subcommand("find", "Which tones are there, keyed or not, with odds");
    add_input_options(*verb, options->watching.input);
    add_watch_options(*verb, options->watching, options->pitch_hz);
    verb->add_option("--false-alarms-per-hour", options->watching.watch.false_alarms_per_hour,
                     "How often noise alone may be taken for a tone")
        ->type_name("N")
        ->capture_default_str()
        ->check(number_within(
            {watch::kMinFalseAlarmsPerHour, watch::kMaxFalseAlarmsPerHour, "an hour"}));
    verb->add_flag("--json", options->json, "Events as JSON Lines");
    add_log_options(*verb, options->watching.log);
    verb->footer(kExample);
    verb->callback([options, &chosen] { chosen = [options] { return run_find(*options); }; });
}

}  // namespace skedlark::cli
