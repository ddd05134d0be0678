// skedlark sked: what is due, the card of each contact, the battery budget, the message sheet.
#include <fmt/format.h>

#include <memory>

#include "cli/card_view.h"
#include "cli/chart_options.h"
#include "cli/measured_hand.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/sheet_view.h"
#include "cli/station_json.h"
#include "cli/text_file.h"
#include "cli/tick_input.h"
#include "dsp/core/units.h"
#include "dsp/station/plan_reader.h"

namespace skedlark::cli {

namespace {

constexpr const char* kExample =
    "Examples:\n"
    "  skedlark sked docs/examples/hut-net.toml\n"
    "  skedlark sked hut-net.toml --chart saddle-hut.toml\n"
    "  skedlark sked hut-net.toml --at 2026-11-26T17:00Z --count 3\n"
    "  skedlark sked hut-net.toml --tap               Enter at each tick of a time signal\n"
    "  skedlark sked hut-net.toml --message answer.txt --groups fives --again 'GR 4 7-9'\n"
    "Times in the plan are UTC. A time given without Z is by the clocks of --zone.\n"
    "Caution: charge batteries in a ventilated place; to transmit you need a licence for it.\n"
    "Exit status: 0 something is due, the sheet was made; 1 nothing is due any more, or --check "
    "found\n"
    "a conflict; 2 the plan or the message cannot be used.";

struct SkedOptions {
    std::string plan;
    std::string chart;
    double snr_2500hz_db = StationExpected{}.snr_2500hz_db;
    std::string at;
    double count = 1;
    std::string zone;
    double days = 14;
    bool check = false;
    bool json = false;
    std::optional<double> clock_offset_s;
    std::optional<double> clock_uncertainty_s;
    std::string ticks;
    bool tap = false;
    std::string message;
    std::string groups = "words";
    std::string to;
    double number = 1;
    std::optional<double> speed_wpm;
    std::string speed_from;
    std::vector<std::string> again;
};

UtcTime machine_time() {
    return std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
}

Result<station::ClockState> clock_state(const SkedOptions& options) {
    station::ClockState clock;
    if (!options.tap && options.ticks.empty()) {
        clock.offset_s = options.clock_offset_s.value_or(0.0);
        clock.uncertainty_95_s = options.clock_uncertainty_s;
        clock.how = options.clock_offset_s || options.clock_uncertainty_s ? "typed in" : "";
        return clock;
    }
    if (options.tap) {
        print_error("sked",
                    "press Enter at each tick, m and Enter at the first of a minute; about "
                    "ten or more, then q and Enter");
    }
    const auto ticks =
        options.tap ? Result<std::vector<station::Tick>>(tap_ticks()) : read_ticks(options.ticks);
    if (!ticks) return ticks.error();
    const auto found = station::offset_from_ticks(*ticks);
    if (!found) return found.error();
    clock.offset_s = found->offset_s;
    clock.uncertainty_95_s = found->uncertainty_95_s;
    clock.how = fmt::format("{} of {} ticks heard{}", found->ticks_used, found->ticks_heard,
                            found->whole_second_known ? "" : ", whole seconds not known");
    return clock;
}

class Sked {
 public:
    explicit Sked(const SkedOptions& options) : options_(options) {}

    ExitStatus run() {
        const ExitStatus status = work();
        if (out_.flush()) return status;
        print_error("sked", out_.failure()->message);
        return out_.failure()->status;
    }

 private:
    ExitStatus work() {
        auto plan = station::read_plan(options_.plan);
        if (!plan) return refuse(plan.error());
        plan_ = std::move(*plan);
        if (!options_.zone.empty()) plan_.zone = options_.zone;
        if (const auto zone = station::check_zone(plan_.zone); !zone) return refuse(zone.error());
        auto clock = clock_state(options_);
        if (!clock) return refuse(clock.error());
        config_.clock = std::move(*clock);
        if (const Status status = set_now(); !status) return refuse(status.error());
        config_.zone = plan_.zone;
        if (!options_.chart.empty()) {
            auto lookup = dial_lookup(options_.chart, expected());
            if (!lookup) return refuse(lookup.error());
            config_.dial = std::move(*lookup);
        }
        config_.count = static_cast<std::size_t>(options_.count);
        if (options_.check) return check_plan();
        return options_.message.empty() ? show_cards() : show_message();
    }

    [[nodiscard]] StationExpected expected() const {
        StationExpected station;
        station.snr_2500hz_db = options_.snr_2500hz_db;
        return station;
    }

    static ExitStatus refuse(const Error& error) {
        print_error("sked", error.message);
        return exit_status(error.code);
    }

    // --at is the true time; what the machine's clock shows then follows from its offset.
    Status set_now() {
        config_.machine_now = machine_time();
        if (options_.at.empty()) return Done{};
        const auto written = parse_written_time(options_.at);
        if (!written) {
            return Error{ErrorCode::invalid_value, "--at: " + written.error().message};
        }
        const auto at = station::utc_from_local(plan_.zone, *written);
        if (!at) return Error{at.error().code, "--at: " + at.error().message};
        config_.machine_now =
            *at + (config_.machine_now - station::true_now(config_.machine_now, config_.clock));
        return Done{};
    }

    [[nodiscard]] UtcTime now() const {
        return station::true_now(config_.machine_now, config_.clock);
    }

    [[nodiscard]] std::vector<station::Conflict> conflicts() const {
        const auto reach = std::chrono::hours(24 * static_cast<int>(options_.days));
        return station::find_conflicts(plan_, now(), now() + reach, config_.dial);
    }

    ExitStatus check_plan() {
        const auto found = conflicts();
        write_conflicts(found);
        if (!options_.json && found.empty()) {
            out_.write(
                fmt::format("{}: no conflict in the next {:g} days\n", plan_.file, options_.days));
        }
        return found.empty() ? kDone : kAnswerNo;
    }

    void write_conflicts(const std::vector<station::Conflict>& found) {
        if (!options_.json) {
            out_.write(conflict_text(found));
            return;
        }
        for (const station::Conflict& conflict : found) out_.write(json_line(conflict));
    }

    ExitStatus show_cards() {
        const auto cards = station::make_cards(plan_, config_);
        if (!cards) return refuse(cards.error());
        bool first = true;
        for (const station::ContactCard& card : *cards) {
            if (options_.json) {
                out_.write(json_line(card));
            } else {
                out_.write((first ? "" : "\n") + card_text(card));
            }
            first = false;
        }
        if (cards->empty()) return say_nothing_is_due();
        const auto found = conflicts();
        if (!options_.json && !found.empty()) {
            out_.write(fmt::format("\nin the next {:g} days:\n", options_.days));
        }
        write_conflicts(found);
        return kDone;
    }

    ExitStatus say_nothing_is_due() {
        std::string text = fmt::format("{}: nothing is due after {}", plan_.file, utc_text(now()));
        if (const auto last = station::last_before(plan_, now())) {
            text += fmt::format("; the last contact was \"{}\" at {}",
                                plan_.contacts[last->contact].name, utc_text(last->start));
        }
        print_error("sked", text);
        return kAnswerNo;
    }

    // The station it goes to, and the battery it is sent from: those of the next contact with it.
    void choose_contact(std::string& to, const station::Battery*& battery) const {
        for (const station::Occurrence& due : station::due_from(plan_, now(), 1000)) {
            const station::Contact& contact = plan_.contacts[due.contact];
            if (!to.empty() && contact.station != to) continue;
            to = contact.station;
            battery = station::find_named(plan_.batteries, contact.battery);
            return;
        }
    }

    [[nodiscard]] Result<station::HandLengths> hand() const {
        if (!options_.speed_from.empty()) return hand_from_result(options_.speed_from);
        return station::hand_at_speed(options_.speed_wpm.value_or(plan_.sending_wpm));
    }

    ExitStatus show_message() {
        const auto text = read_text_file(options_.message);
        if (!text) return refuse(text.error());
        const auto measured = hand();
        if (!measured) return refuse(measured.error());
        station::MessageDraft draft{*text,       station::Grouping::words,          plan_.call,
                                    options_.to, static_cast<int>(options_.number), now()};
        if (options_.groups == "fives") draft.grouping = station::Grouping::fives;
        const station::Battery* battery = nullptr;
        choose_contact(draft.to, battery);
        const auto sheet = station::make_message_sheet(draft, *measured);
        if (!sheet)
            return refuse({sheet.error().code, options_.message + ": " + sheet.error().message});
        return options_.again.empty() ? write_sheet(*sheet, battery) : write_repeats(*sheet);
    }

    ExitStatus write_sheet(const station::MessageSheet& sheet, const station::Battery* battery) {
        out_.write(options_.json ? json_line(sheet, battery) : sheet_text(sheet, battery));
        return kDone;
    }

    ExitStatus write_repeats(const station::MessageSheet& sheet) {
        for (const std::string& request : options_.again) {
            const auto answer = station::answer_request(sheet, request);
            if (!answer) return refuse(answer.error());
            out_.write(options_.json ? json_line(sheet, *answer) : repeat_text(sheet, *answer));
        }
        return kDone;
    }

    const SkedOptions& options_;
    station::Plan plan_;
    station::CardConfig config_;
    Output out_{1};
};

void add_time_options(CLI::App& verb, SkedOptions& options) {
    verb.add_option("--at", options.at, "As if it were this time, such as 2026-11-26T17:00Z")
        ->type_name("TIME");
    verb.add_option("--count", options.count, "Cards of so many contacts, the soonest first")
        ->type_name("N")
        ->default_str("1")
        ->check(number_within({1.0, 1000.0, "cards"}, true));
    verb.add_option("--zone", options.zone,
                    "Time zone for local time beside UTC, or local; default: the plan's")
        ->type_name("ZONE");
    CLI::Option* offset = verb.add_option("--clock-offset", options.clock_offset_s,
                                          "This machine's clock is so much fast, negative: slow")
                              ->type_name("S")
                              ->check(number_within({-86400.0, 86400.0, "s"}));
    CLI::Option* doubt = verb.add_option("--clock-uncertainty", options.clock_uncertainty_s,
                                         "How far the clock may still be out, 95 %")
                             ->type_name("S")
                             ->check(number_within({0.0, 86400.0, "s"}));
    CLI::Option* ticks =
        verb.add_option("--ticks", options.ticks,
                        "Take the offset from ticks of a time signal: a file with the times at "
                        "which they were heard by this clock, one a line, with minute behind those "
                        "that begin one")
            ->type_name("FILE")
            ->excludes(offset)
            ->excludes(doubt);
    verb.add_flag("--tap", options.tap, "The same from the keyboard: Enter at each tick, then q")
        ->excludes(offset)
        ->excludes(doubt)
        ->excludes(ticks);
}

void add_message_options(CLI::App& verb, SkedOptions& options) {
    CLI::Option* message =
        verb.add_option("--message", options.message,
                        "Make the sheet of this message instead; - reads it from standard input")
            ->type_name("FILE");
    verb.add_option("--groups", options.groups,
                    "Words as they stand, or letters and figures in fives")
        ->type_name("words|fives")
        ->capture_default_str()
        ->check(one_of({"words", "fives"}))
        ->needs(message);
    verb.add_option("--to", options.to, "Whom it goes to; default: the next contact's station")
        ->type_name("CALL")
        ->needs(message);
    verb.add_option("--number", options.number, "Number of the message")
        ->type_name("N")
        ->default_str("1")
        ->check(number_within({1.0, 9999.0, ""}, true))
        ->needs(message);
    CLI::Option* speed = verb.add_option("--wpm", options.speed_wpm,
                                         "Speed it is sent at; default: the plan's sending_wpm")
                             ->type_name("N")
                             ->check(number_within({kMinSpeedWpm, kMaxSpeedWpm, "wpm"}))
                             ->needs(message);
    verb.add_option("--speed-from", options.speed_from,
                    "Lengths of the own hand as measured: what skedlark copy --json wrote of it")
        ->type_name("FILE")
        ->excludes(speed)
        ->needs(message);
    verb.add_option("--again", options.again,
                    "Groups the other side asks for again: 'GR 4 7-9', 'AA KLMNO', 'BN A B'")
        ->type_name("REQUEST")
        ->allow_extra_args(false)
        ->needs(message);
}

}  // namespace

void add_sked(CLI::App& program, Run& chosen) {
    auto options = std::make_shared<SkedOptions>();
    CLI::App* verb = program.add_subcommand(
        "sked", "What is due, the card of each contact, the battery, the message sheet");
    verb->add_option("PLAN", options->plan, "Plan file (TOML, see docs/file-formats.md)")
        ->type_name("")
        ->required();
    CLI::Option* chart =
        verb->add_option("--chart", options->chart,
                         "Receiver file: band, division, sweep limits and time on the cards")
            ->type_name("FILE");
    verb->add_option("--snr", options->snr_2500hz_db,
                     "Level the sweep time is for: key-down SNR in 2500 Hz")
        ->type_name("DB")
        ->capture_default_str()
        ->check(number_within({-60.0, 60.0, "dB"}))
        ->needs(chart);
    add_time_options(*verb, *options);
    verb->add_option("--days", options->days, "How far ahead conflicts are looked for")
        ->type_name("N")
        ->default_str("14")
        ->check(number_within({1.0, 400.0, "days"}, true));
    verb->add_flag("--check", options->check, "Only look for conflicts");
    add_message_options(*verb, *options);
    verb->add_flag("--json", options->json, "JSON Lines");
    verb->footer(kExample);
    verb->callback([options, &chosen] { chosen = [options] { return Sked(*options).run(); }; });
}

}  // namespace skedlark::cli
