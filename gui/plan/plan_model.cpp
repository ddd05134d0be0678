#include "gui/plan/plan_model.h"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "dsp/station/dial_lookup.h"
#include "dsp/station/repeat_rule.h"

namespace skedlark::gui {

namespace {

using station::Occurrence;
using std::chrono::hours;

constexpr int kTickHours = 3;
// A contact lasts a day at most, and its last fallback begins and lasts as long.
constexpr hours kLongestContact(48);

double place(UtcTime now, UtcTime time) {
    const auto all = std::chrono::duration<double>(hours(kLineHours));
    return std::chrono::duration<double>(time - now) / all;
}

}  // namespace

void PlanModel::set_plan(std::optional<station::Plan> plan) {
    plan_ = std::move(plan);
    conflicts_.clear();
    conflicts_at_.reset();
}

void PlanModel::set_receiver(const std::optional<dial::Receiver>& receiver,
                             const std::vector<dial::KnownStation>& known) {
    dial_ = {};
    settings_.clear();
    conflicts_at_.reset();
    receiver_problem_.clear();
    if (!receiver) return;
    const auto chance = station::chance_of(*receiver, {});
    if (!chance) {
        receiver_problem_ = chance.error().message;
        return;
    }
    dial_ = station::dial_lookup(*receiver, *chance, known);
}

void PlanModel::update(UtcTime now) {
    cards_.clear();
    line_ = {};
    problem_ = receiver_problem_;
    if (!plan_) return;
    station::CardConfig config;
    config.machine_now = now;
    config.zone = plan_->zone;
    config.count = kCardsShown;
    if (const auto zone = station::check_zone(config.zone); !zone) {
        problem_ = plan_->file + ": zone: " + zone.error().message;
        config.zone = "UTC";
    }
    if (dial_) {
        config.dial = [this](double khz) {
            const auto known = settings_.find(khz);
            if (known != settings_.end()) return known->second;
            return settings_.emplace(khz, dial_(khz)).first->second;
        };
    }
    auto cards = station::make_cards(*plan_, config);
    if (cards) {
        cards_ = *std::move(cards);
    } else {
        problem_ = cards.error().message;
    }
    make_line(now, config.zone);
    look_for_conflicts(now, config.dial);
}

void PlanModel::look_for_conflicts(UtcTime now, const station::DialLookup& dial) {
    const auto minute = std::chrono::floor<std::chrono::minutes>(now);
    if (conflicts_at_ == UtcTime(minute)) return;
    conflicts_at_ = minute;
    conflicts_ = station::find_conflicts(*plan_, now, now + std::chrono::days(kConflictDays), dial);
}

std::optional<std::size_t> PlanModel::find(const std::string& contact, UtcTime start) const {
    for (std::size_t i = 0; i < cards_.size(); ++i) {
        if (cards_[i].contact == contact && cards_[i].leg.start == start) return i;
    }
    return std::nullopt;
}

void PlanModel::make_line(UtcTime now, const std::string& zone) {
    add_bars(now);
    add_charging(now);
    const auto first = std::chrono::floor<hours>(now) + hours(1);
    for (UtcTime tick = first; tick <= now + hours(kLineHours); tick += hours(1)) {
        const auto of_day =
            std::chrono::floor<hours>(tick) - std::chrono::floor<std::chrono::days>(tick);
        if (of_day.count() % kTickHours != 0) continue;
        TimeTick mark{place(now, tick), utc_text(tick).substr(11, 5), {}, of_day.count() == 0};
        if (zone != "UTC") {
            if (const auto local = station::local_time(zone, tick)) {
                const UtcTime clock(local->written.clock.time_since_epoch());
                mark.local = utc_text(clock).substr(11, 5);
                if (line_.zone.empty()) line_.zone = local->abbreviation;
            }
        }
        line_.ticks.push_back(std::move(mark));
    }
}

void PlanModel::add_bars(UtcTime now) {
    const UtcTime end = now + hours(kLineHours);
    for (const Occurrence& due :
         station::due_between(*plan_, now - kLongestContact, end + kLongestContact)) {
        const station::Contact& contact = plan_->contacts[due.contact];
        const auto card = find(contact.name, due.start);
        add_bar(BarKind::warm_up, now, due.switch_on, due.start,
                {.label = "warm up", .card = card});
        add_bar(BarKind::contact, now, due.start, due.end,
                {.label = contact.name + " " + contact.station, .card = card});
        for (std::size_t i = 0; i < contact.fallbacks.size(); ++i) {
            const UtcTime from = due.start + contact.fallbacks[i].after;
            add_bar(BarKind::fallback, now, from, from + contact.fallbacks[i].duration,
                    {.label = fmt::format("fallback {}", i + 1), .card = card});
        }
    }
}

void PlanModel::add_charging(UtcTime now) {
    const UtcTime end = now + hours(kLineHours);
    for (const station::Charging& each : plan_->charging) {
        UtcTime from = now - each.duration;
        while (const auto start = station::next_time(each.start, each.repeat, from)) {
            if (*start >= end) break;
            add_bar(BarKind::charging, now, *start, *start + each.duration,
                    {.label = each.battery + " on the charger", .card = {}});
            from = *start + std::chrono::milliseconds(1);
        }
    }
}

void PlanModel::add_bar(BarKind kind, UtcTime now, UtcTime from, UtcTime to, TimeBar bar) {
    bar.kind = kind;
    bar.from = std::max(0.0, place(now, from));
    bar.to = std::min(1.0, place(now, to));
    if (bar.to > bar.from) line_.bars.push_back(std::move(bar));
}

}  // namespace skedlark::gui
