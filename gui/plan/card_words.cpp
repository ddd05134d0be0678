#include "gui/plan/card_words.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <cmath>

namespace skedlark::gui {

namespace {

using station::ContactCard;
using station::Leg;
using station::Stage;

double seconds_between(UtcTime from, UtcTime to) {
    return 1.0e-3 * static_cast<double>((to - from).count());
}

std::string local_words(const Leg& leg) {
    if (!leg.local_start) return "";
    const UtcTime clock(leg.local_start->written.clock.time_since_epoch());
    return fmt::format(", {} {}", hour_words(clock), leg.local_start->abbreviation);
}

std::string khz_words(double khz) { return fmt::format("{:.1f} kHz", khz); }

void fill_clock(const ContactCard& card, CardWords& words) {
    const auto until = [&](UtcTime time, const char* of) {
        words.to_go = count_down(seconds_between(card.now, time));
        words.to_go_of = of;
    };
    switch (card.stage) {
        case Stage::waiting:
            until(card.leg.start, "to the start");
            words.stage = "waiting";
            return;
        case Stage::warming_up:
            until(card.leg.start, "to the start");
            words.stage = "warm up: receiver on now";
            return;
        case Stage::running:
            until(card.give_up, "left until giving up");
            words.stage = "on now";
            return;
        case Stage::in_fallback:
            until(card.fallbacks[*card.next_fallback].end, "left of the fallback");
            words.stage = fmt::format("on fallback {} now", *card.next_fallback + 1);
            return;
        case Stage::given_up:
            if (card.next_fallback) {
                until(card.fallbacks[*card.next_fallback].start, "to the fallback");
                words.stage = fmt::format("given up; fallback {} next", *card.next_fallback + 1);
            } else {
                until(card.leg.end, "left of its time");
                words.stage = "given up; no fallback is left";
            }
            return;
    }
}

// The leg that counts now.
const Leg& leg_at_hand(const ContactCard& card) {
    const bool past = card.stage == Stage::given_up || card.stage == Stage::in_fallback;
    return past && card.next_fallback ? card.fallbacks[*card.next_fallback] : card.leg;
}

void fill_dial(const Leg& leg, CardWords& words) {
    if (!leg.dial) {
        words.dial = "not known: no receiver file is open";
        words.listen = "not known";
        return;
    }
    if (!leg.dial->problem.empty()) {
        words.dial = leg.dial->problem;
        words.listen = "none";
        return;
    }
    const station::DialSetting& dial = *leg.dial;
    words.dial = fmt::format("band {}, division {:.1f}", dial.band, dial.division);
    if (dial.low95_division && dial.high95_division) {
        words.dial +=
            fmt::format(" (95 %: {:.1f} to {:.1f})", *dial.low95_division, *dial.high95_division);
    }
    words.listen = dial.listen_division ? fmt::format("division {:.1f}; ", *dial.listen_division)
                                        : std::string();
    words.listen += fmt::format("sweep {:.1f} to {:.1f}", dial.from_division, dial.to_division);
    if (dial.sweep_min) words.listen += fmt::format(" in {:.1f} min", *dial.sweep_min);
}

std::string answer_words(const station::Answer& answer) {
    if (!answer.wanted) return "none: only listened to";
    if (!answer.problem.empty()) return answer.problem;
    std::string text = fmt::format("crystal {}: {}", answer.crystal->name, khz_words(answer.khz));
    if (answer.band->multiplier > 1) {
        text += fmt::format(" ({} times {:.1f})", answer.band->multiplier, answer.crystal->khz);
    }
    return text + fmt::format(", switch {}", answer.band->position);
}

std::string fallback_words(const ContactCard& card) {
    if (card.next_fallback) {
        const Leg& leg = card.fallbacks[*card.next_fallback];
        std::string text = fmt::format("{} to {} UTC on {}", hour_words(leg.start),
                                       hour_words(leg.end), khz_words(leg.receive_khz));
        if (leg.dial && leg.dial->problem.empty()) {
            text += fmt::format(", band {}, division {:.1f}", leg.dial->band, leg.dial->division);
        }
        return text;
    }
    if (!card.next_contact) return "none; this contact does not come round again";
    return fmt::format("none; next time round {} {} UTC", day_words(*card.next_contact),
                       hour_words(*card.next_contact));
}

void fill_battery(const ContactCard& card, CardWords& words) {
    if (!card.battery) {
        words.battery = "none in the plan";
        words.battery_left = "not known";
        return;
    }
    const station::ContactBudget& budget = *card.battery;
    words.battery = fmt::format("{}: {:.0f} % at the start, {:.0f} % after", budget.battery,
                                100.0 * budget.start_share, 100.0 * budget.contact.after);
    if (!card.fallbacks.empty()) {
        words.battery +=
            fmt::format(", {:.0f} % with all fallbacks", 100.0 * budget.after_fallbacks_share);
    }
    if (budget.contact.short_by > 0.0 || budget.contact.after <= 0.0) {
        words.battery_left = "flat before the end of this contact";
    } else {
        words.battery_left =
            fmt::format("flat after {:.1f} h more of receiving; {:.1f} h of charging owed",
                        budget.contact.receive_left_h, budget.contact.charge_owed_h);
    }
}

std::string kit_words(const ContactCard& card) {
    std::vector<std::string> things;
    for (const std::string& thing : card.kit) {
        const bool named = thing == "crystal" && card.leg.answer.crystal;
        things.push_back(named ? "crystal " + card.leg.answer.crystal->name : thing);
    }
    return things.empty() ? "nothing is in the plan"
                          : fmt::format("{}", fmt::join(things, "  \u00b7  "));
}

}  // namespace

std::string day_words(UtcTime time) {
    static constexpr const char* kDays[] = {"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
    static constexpr const char* kMonths[] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                              "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    const auto day = std::chrono::floor<std::chrono::days>(time);
    const std::chrono::year_month_day date(day);
    return fmt::format("{} {} {}", kDays[std::chrono::weekday(day).c_encoding()],
                       static_cast<unsigned>(date.day()),
                       kMonths[static_cast<unsigned>(date.month()) - 1]);
}

std::string hour_words(UtcTime time) { return utc_text(time).substr(11, 5); }

std::string count_down(double seconds) {
    // A second that has begun is not over: the count reaches 0 with the start itself.
    const auto whole = static_cast<long>(std::ceil(std::abs(seconds) - 1.0e-9));
    const long day = 86400;
    const std::string in_day =
        fmt::format("{}:{:02}:{:02}", whole / 3600 % 24, whole / 60 % 60, whole % 60);
    if (whole >= day) return fmt::format("{} d {}", whole / day, in_day);
    if (whole >= 3600) return in_day;
    return fmt::format("{}:{:02}", whole / 60, whole % 60);
}

std::string line_of(const station::ContactCard& card) {
    return fmt::format("{} {}  {}\n{}, {}", day_words(card.leg.start), hour_words(card.leg.start),
                       card.with.call, khz_words(card.leg.receive_khz), card.contact);
}

CardWords words_of(const ContactCard& card) {
    CardWords words;
    fill_clock(card, words);
    const Leg& leg = leg_at_hand(card);
    words.with = card.with.call + (card.with.name.empty() ? "" : "  " + card.with.name);
    words.when = fmt::format("{} {} to {} UTC{}", day_words(leg.start), hour_words(leg.start),
                             hour_words(leg.end), local_words(leg));
    words.switch_on = hour_words(card.switch_on) + " UTC, ";
    words.switch_on +=
        card.to_switch_on_s > 0.0 ? "in " + count_down(card.to_switch_on_s) : std::string("by now");
    words.receive = khz_words(leg.receive_khz);
    fill_dial(leg, words);
    words.answer = answer_words(leg.answer);
    words.give_up = hour_words(card.give_up) + " UTC, when nothing was heard";
    words.fallback = fallback_words(card);
    fill_battery(card, words);
    words.kit = kit_words(card);
    words.notes = card.notes;
    return words;
}

}  // namespace skedlark::gui
