#include "cli/card_view.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>
#include <sstream>

#include "cli/terminal.h"

namespace skedlark::cli {

namespace {

using station::ContactCard;
using station::Leg;
using station::Stage;

constexpr std::size_t kLabel = 12;  // columns of the names at the left
constexpr std::size_t kWidth = kPlainWidth;

std::string day_text(UtcTime time) {
    static constexpr const char* kDays[] = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
    static constexpr const char* kMonths[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                              "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    const auto day = std::chrono::floor<std::chrono::days>(time);
    const std::chrono::year_month_day date(day);
    return fmt::format("{} {} {} {}", kDays[std::chrono::weekday(day).c_encoding()],
                       static_cast<unsigned>(date.day()),
                       kMonths[static_cast<unsigned>(date.month()) - 1],
                       static_cast<int>(date.year()));
}

std::string hour_text(UtcTime time) { return utc_text(time).substr(11, 5); }

std::string local_text(const Leg& leg) {
    if (!leg.local_start) return "";
    const UtcTime clock(leg.local_start->written.clock.time_since_epoch());
    return fmt::format(", {} {}", hour_text(clock), leg.local_start->abbreviation);
}

std::string frequency_text(double khz) {
    return fmt::format("{:.1f}\x01kHz = {:.4f}\x01MHz", khz, khz / 1000.0);
}

std::string dial_text(const Leg& leg) {
    if (!leg.dial) return "";
    if (!leg.dial->problem.empty()) return ", " + leg.dial->problem;
    std::string text =
        fmt::format(", band {}, division {:.1f}, sweep {:.1f} to {:.1f}", leg.dial->band,
                    leg.dial->division, leg.dial->from_division, leg.dial->to_division);
    if (leg.dial->sweep_min) text += fmt::format(" in {:.1f} min", *leg.dial->sweep_min);
    return text;
}

std::string answer_text(const station::Answer& answer) {
    if (!answer.wanted) return "none: only listened to";
    if (!answer.problem.empty()) return answer.problem;
    std::string text =
        fmt::format("crystal {}, {}", answer.crystal->name, frequency_text(answer.crystal->khz));
    if (answer.band->multiplier > 1) {
        text += fmt::format(", times\x01{} = {:.4f}\x01MHz", answer.band->multiplier,
                            answer.khz / 1000.0);
    }
    return text + fmt::format(", band switch\x01{} ({:g}\x01to\x01{:g}\x01kHz)",
                              answer.band->position, answer.band->from_khz, answer.band->to_khz);
}

std::string when_text(const ContactCard& card) {
    switch (card.stage) {
        case Stage::waiting:
        case Stage::warming_up:
            return "in " + length_text(card.to_start_s);
        case Stage::running:
            return "NOW, since " + length_text(-card.to_start_s);
        case Stage::given_up:
            return card.next_fallback ? "given up, fallback next" : "given up";
        case Stage::in_fallback:
            return "NOW, on a fallback";
    }
    return "";
}

std::string switch_on_text(const ContactCard& card) {
    const double warm_s = 1.0e-3 * static_cast<double>((card.leg.start - card.switch_on).count());
    const std::string when =
        card.to_switch_on_s > 0.0 ? "in " + length_text(card.to_switch_on_s) : "by now";
    return fmt::format("{} UTC, {}; {} for the drift to settle", hour_text(card.switch_on), when,
                       length_text(warm_s));
}

std::string battery_text(const ContactCard& card) {
    if (!card.battery) return "none in the plan, or not to be reckoned from what it says";
    const station::ContactBudget& b = *card.battery;
    std::string text = fmt::format("{}: {:.0f} % when switched on, {:.0f} % after it", b.battery,
                                   100.0 * b.contact.before, 100.0 * b.contact.after);
    if (!card.fallbacks.empty()) {
        text += fmt::format(" ({:.0f} % with all fallbacks)", 100.0 * b.after_fallbacks_share);
    }
    return text + fmt::format("; then {:.1f} h of charging owed", b.contact.charge_owed_h);
}

std::string kit_text(const ContactCard& card) {
    std::string text;
    for (const std::string& thing : card.kit) {
        const bool named = thing == "crystal" && card.leg.answer.crystal;
        // Two blanks part them, and none is torn from its box.
        text += fmt::format("{}[_]\x01{}", text.empty() ? "" : " ",
                            named ? "crystal " + card.leg.answer.crystal->name : thing);
    }
    return text;
}

std::string fallbacks_text(const ContactCard& card) {
    std::string text = labelled("give up", fmt::format("{} UTC, when nothing has been heard; then:",
                                                       hour_text(card.give_up)));
    for (std::size_t i = 0; i < card.fallbacks.size(); ++i) {
        const Leg& leg = card.fallbacks[i];
        const bool over = card.stage == Stage::given_up || card.stage == Stage::in_fallback;
        const bool next = over && card.next_fallback == i;
        text += wrapped(
            fmt::format("  {:>7} {}. ", next ? "next" : "", i + 1),
            fmt::format("{} to {} UTC{}: listen {}{}; answer {}", hour_text(leg.start),
                        hour_text(leg.end), local_text(leg), frequency_text(leg.receive_khz),
                        dial_text(leg), answer_text(leg.answer)),
            kLabel + 1);
    }
    const std::string last =
        card.next_contact ? fmt::format("the next time round: {} {} UTC",
                                        day_text(*card.next_contact), hour_text(*card.next_contact))
                          : "nothing: this contact does not come round again";
    return text + labelled("", card.fallbacks.empty() ? last : "and then " + last);
}

}  // namespace

std::string length_text(double seconds) {
    const auto whole = std::llround(std::abs(seconds));
    if (whole >= 86400) return fmt::format("{} d {} h", whole / 86400, whole / 3600 % 24);
    if (whole >= 3600) return fmt::format("{} h {} min", whole / 3600, whole / 60 % 60);
    if (whole >= 60 && whole % 60 == 0) return fmt::format("{} min", whole / 60);
    if (whole >= 60) return fmt::format("{} min {} s", whole / 60, whole % 60);
    return fmt::format("{} s", whole);
}

std::string labelled(const char* label, const std::string& text) {
    return wrapped(fmt::format("  {:<{}}", label, kLabel - 2), text, kLabel);
}

std::string wrapped(const std::string& first, const std::string& text, std::size_t indent) {
    std::istringstream words(text);
    std::string lines;
    std::string line = first;
    bool bare = true;
    for (std::string word; words >> word;) {
        if (!bare && line.size() + 1 + word.size() > kWidth) {
            lines += line + "\n";
            line = std::string(indent, ' ');
            bare = true;
        }
        line += (bare ? "" : " ") + word;
        bare = false;
    }
    // \x01 stands for a blank at which no line is broken.
    for (char& c : line) c = c == '\x01' ? ' ' : c;
    for (char& c : lines) c = c == '\x01' ? ' ' : c;
    return lines + line + "\n";
}

std::string clock_text(const station::ClockState& clock) {
    if (!clock.uncertainty_95_s) {
        return clock.offset_s == 0.0
                   ? "not checked: compare it with a time signal (--tap, --ticks)"
                   : fmt::format("{:.2f} s {}, {}; by how much that is out is not known",
                                 std::abs(clock.offset_s), clock.offset_s > 0 ? "fast" : "slow",
                                 clock.how);
    }
    return fmt::format("{:.2f} s {}, within {:.2f} s (95 %), {}", std::abs(clock.offset_s),
                       clock.offset_s >= 0 ? "fast" : "slow", *clock.uncertainty_95_s, clock.how);
}

std::string card_text(const ContactCard& card) {
    const std::string who =
        fmt::format("{}: {} works {}{}", card.contact, card.own_call, card.with.call,
                    card.with.name.empty() ? "" : " (" + card.with.name + ")");
    const std::string when = when_text(card);
    std::string text = who.size() + 2 + when.size() <= kWidth
                           ? fmt::format("{}{:>{}}\n", who, when, kWidth - who.size())
                           : wrapped("", who, 2) + wrapped("", when, 2);
    text += std::string(kWidth, '=') + "\n";
    text += labelled("start", fmt::format("{} {} UTC{}, until {} UTC", day_text(card.leg.start),
                                          hour_text(card.leg.start), local_text(card.leg),
                                          hour_text(card.leg.end)));
    text += labelled("switch on", switch_on_text(card));
    text += labelled("clock", clock_text(card.clock));
    text += labelled("listen", frequency_text(card.leg.receive_khz) + dial_text(card.leg));
    if (!card.leg.dial) text += labelled("", "no receiver file: dial and sweep are not known");
    text += labelled("answer", answer_text(card.leg.answer));
    text += labelled("battery", battery_text(card));
    text += labelled("take", kit_text(card));
    text += fallbacks_text(card);
    for (const std::string& note : card.notes) text += labelled("!", note);
    return text;
}

std::string conflict_text(const std::vector<station::Conflict>& conflicts) {
    std::string text;
    for (const station::Conflict& conflict : conflicts) text += wrapped("! ", conflict.said, 2);
    return text;
}

}  // namespace skedlark::cli
