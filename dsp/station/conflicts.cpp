#include "dsp/station/conflicts.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>
#include <tuple>
#include <utility>

#include "dsp/station/answer.h"
#include "dsp/station/budget.h"
#include "dsp/station/due.h"
#include "dsp/station/repeat_rule.h"

namespace skedlark::station {

namespace {

std::string short_time(UtcTime time) {
    const std::string text = utc_text(time);
    return text.substr(0, 10) + " " + text.substr(11, 5) + " UTC";
}

class Finder {
 public:
    Finder(const Plan& plan, UtcTime from, UtcTime to, const DialLookup& dial)
        : plan_(plan), from_(from), to_(to), dial_(dial) {}

    std::vector<Conflict> find() {
        for (const Contact& contact : plan_.contacts) check_always(contact);
        const auto due = due_between(plan_, from_, to_);
        check_overlaps(due);
        check_battery(due);
        std::stable_sort(found_.begin(), found_.end(), [](const Conflict& a, const Conflict& b) {
            return a.at.value_or(UtcTime{}) < b.at.value_or(UtcTime{});
        });
        return std::move(found_);
    }

 private:
    void add(Conflict conflict) {
        const auto key = std::tuple(conflict.kind, conflict.contact, conflict.other);
        if (told_.insert(key).second) found_.push_back(std::move(conflict));
    }

    void check_always(const Contact& contact) {
        if (!next_time(contact.start, contact.repeat, from_ - contact.duration)) {
            add({ConflictKind::past_only,
                 contact.name,
                 "",
                 {},
                 fmt::format("contact \"{}\" (line {}) does not come round any more", contact.name,
                             contact.line)});
            return;
        }
        check_channel(contact, contact.channel, "");
        for (std::size_t i = 0; i < contact.fallbacks.size(); ++i) {
            check_channel(contact, contact.fallbacks[i].channel,
                          fmt::format(", fallback {}", i + 1));
        }
    }

    void check_channel(const Contact& contact, const Channel& channel, const std::string& which) {
        const std::string name = contact.name + which;
        if (const Answer answer = find_answer(plan_, channel); !answer.problem.empty()) {
            add({ConflictKind::no_answer,
                 name,
                 "",
                 {},
                 fmt::format("contact \"{}\"{}: {}", contact.name, which, answer.problem)});
        }
        if (!dial_) return;
        if (const DialSetting setting = dial_(channel.receive_khz); !setting.problem.empty()) {
            add({ConflictKind::no_receiver_band,
                 name,
                 "",
                 {},
                 fmt::format("contact \"{}\"{}: {}", contact.name, which, setting.problem)});
        }
    }

    // In order of start; each is compared with those that may still be running.
    void check_overlaps(const std::vector<Occurrence>& due) {
        std::vector<const Occurrence*> running;
        for (const Occurrence& next : due) {
            std::erase_if(running,
                          [&](const Occurrence* old) { return old->last_end <= next.start; });
            for (const Occurrence* old : running) check_pair(*old, next);
            running.push_back(&next);
        }
    }

    void check_pair(const Occurrence& old, const Occurrence& next) {
        // Once told is enough; a rule that repeats all day would be told thousands of times.
        if (++seen_pairs_[{old.contact, next.contact}] > kPairsLookedAt) return;
        const Contact& a = plan_.contacts[old.contact];
        const Contact& b = plan_.contacts[next.contact];
        if (next.start < old.end) {
            add({ConflictKind::overlap, a.name, b.name, next.start,
                 fmt::format("\"{}\" and \"{}\" overlap: {} begins while the other runs to {}",
                             a.name, b.name, short_time(next.start), short_time(old.end))});
        }
        check_fallbacks(old, next);
        check_fallbacks(next, old);
    }

    void check_fallbacks(const Occurrence& owner, const Occurrence& other) {
        const Contact& contact = plan_.contacts[owner.contact];
        for (const Fallback& fallback : contact.fallbacks) {
            const UtcTime from = owner.start + fallback.after;
            if (from >= other.end || other.start >= from + fallback.duration) continue;
            const std::string& name = plan_.contacts[other.contact].name;
            add({ConflictKind::fallback_overlap, contact.name, name, from,
                 fmt::format("the fallback of \"{}\" at {} falls into \"{}\"", contact.name,
                             short_time(from), name)});
        }
    }

    void check_battery(const std::vector<Occurrence>& due) {
        const auto budgets = budget_of(plan_, from_, due);
        for (std::size_t i = 0; i < due.size(); ++i) {
            if (!budgets[i]) continue;
            const std::string& name = plan_.contacts[due[i].contact].name;
            const ContactBudget& budget = *budgets[i];
            if (budget.contact.short_by > 0.0) {
                const bool before = budget.start_share <= 0.0;
                add({ConflictKind::battery_flat, name, budget.battery, due[i].start,
                     fmt::format("battery \"{}\" is flat {} \"{}\" at {}: {:.0f} % left when "
                                 "switched on, {:.1f} h of charging owed",
                                 budget.battery, before ? "before" : "before the end of", name,
                                 short_time(due[i].start), 100.0 * budget.contact.before,
                                 budget.contact.charge_owed_h)});
            }
            if (budget.on_charger) {
                add({ConflictKind::on_charger, name, budget.battery, due[i].start,
                     fmt::format("battery \"{}\" is on the charger while \"{}\" needs it, {}",
                                 budget.battery, name, short_time(due[i].start))});
            }
        }
    }

    static constexpr int kPairsLookedAt = 100;

    const Plan& plan_;
    UtcTime from_;
    UtcTime to_;
    const DialLookup& dial_;
    std::set<std::tuple<ConflictKind, std::string, std::string>> told_;
    std::map<std::pair<std::size_t, std::size_t>, int> seen_pairs_;
    std::vector<Conflict> found_;
};

}  // namespace

const char* name_of(ConflictKind kind) {
    switch (kind) {
        case ConflictKind::past_only:
            return "past_only";
        case ConflictKind::no_answer:
            return "no_answer";
        case ConflictKind::no_receiver_band:
            return "no_receiver_band";
        case ConflictKind::overlap:
            return "overlap";
        case ConflictKind::fallback_overlap:
            return "fallback_overlap";
        case ConflictKind::battery_flat:
            return "battery_flat";
        case ConflictKind::on_charger:
            return "on_charger";
    }
    return "";
}

std::vector<Conflict> find_conflicts(const Plan& plan, UtcTime from, UtcTime to,
                                     const DialLookup& dial) {
    return Finder(plan, from, to, dial).find();
}

}  // namespace skedlark::station
