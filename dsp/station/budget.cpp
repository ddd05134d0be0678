#include "dsp/station/budget.h"

#include <algorithm>
#include <map>
#include <utility>

#include "dsp/station/repeat_rule.h"

namespace skedlark::station {

namespace {

using Hours = std::chrono::duration<double, std::ratio<3600>>;

double hours(std::chrono::milliseconds length) {
    return std::max(0.0, std::chrono::duration_cast<Hours>(length).count());
}

struct Entry {
    BatteryUse use;
    std::optional<Occurrence> occurrence{};
    UtcTime until{};
};

std::vector<Entry> charging_entries(const Plan& plan, const std::string& battery, UtcTime from,
                                    UtcTime to) {
    std::vector<Entry> entries;
    for (const Charging& charging : plan.charging) {
        if (charging.battery != battery) continue;
        UtcTime search = from - charging.duration;
        for (std::size_t i = 0; i < kMostDue; ++i) {
            const auto start = next_time(charging.start, charging.repeat, search);
            if (!start || *start >= to) break;
            search = *start + std::chrono::milliseconds(1);
            const UtcTime until = *start + charging.duration;
            const UtcTime begin = std::max(*start, from);
            if (until > begin)
                entries.push_back({{begin, 0.0, 0.0, hours(until - begin)}, {}, until});
        }
    }
    return entries;
}

// Two contacts close together do not draw twice: the later one pays from the earlier one's end.
std::vector<Entry> contact_entries(const Plan& plan, const std::string& battery, UtcTime from,
                                   UtcTime to) {
    std::vector<Entry> entries;
    UtcTime on_until = from;
    for (const Occurrence& due : due_between(plan, from - Minutes(2 * 24 * 60), to)) {
        const Contact& contact = plan.contacts[due.contact];
        if (contact.battery != battery || due.end <= from) continue;
        const UtcTime on = std::min(std::max(due.switch_on, on_until), due.end);
        on_until = std::max(on_until, due.end);
        entries.push_back({{on, hours(due.end - on), hours(contact.sending), 0.0}, due, due.end});
    }
    return entries;
}

bool overlaps_charging(const std::vector<Entry>& entries, const Entry& contact) {
    return std::any_of(entries.begin(), entries.end(), [&](const Entry& other) {
        return !other.occurrence && other.use.from < contact.until &&
               contact.use.from < other.until;
    });
}

ContactBudget budget_for(const Plan& plan, const Battery& battery, const Entry& entry,
                         const BatteryAfter& after) {
    const Occurrence& due = *entry.occurrence;
    const Contact& contact = plan.contacts[due.contact];
    ContactBudget budget{battery.name, after, 0.0, 0.0, false};
    const double warm_h = hours(due.start - entry.use.from);
    budget.start_share = std::max(0.0, after.before - share_drawn(battery, warm_h, 0.0));
    const double more_h = hours(due.last_end - due.end);
    const double more_send_h = hours(contact.sending * static_cast<int>(contact.fallbacks.size()));
    budget.after_fallbacks_share =
        std::max(0.0, after.after - share_drawn(battery, more_h, more_send_h));
    return budget;
}

void budget_battery(const Plan& plan, const Battery& battery, UtcTime from,
                    const std::vector<Occurrence>& due,
                    std::vector<std::optional<ContactBudget>>& out) {
    const UtcTime since = battery.as_of.value_or(from);
    const UtcTime to = due.back().start + std::chrono::milliseconds(1);
    std::vector<Entry> entries = contact_entries(plan, battery.name, since, to);
    const auto charging = charging_entries(plan, battery.name, since, due.back().end);
    entries.insert(entries.end(), charging.begin(), charging.end());
    std::stable_sort(entries.begin(), entries.end(),
                     [](const Entry& a, const Entry& b) { return a.use.from < b.use.from; });
    std::vector<BatteryUse> uses;
    for (const Entry& entry : entries) uses.push_back(entry.use);
    const auto after = run_down(battery, uses);
    std::map<std::pair<std::size_t, UtcTime>, std::size_t> wanted;
    for (std::size_t k = 0; k < due.size(); ++k) wanted[{due[k].contact, due[k].start}] = k;
    for (std::size_t i = 0; i < entries.size(); ++i) {
        if (!entries[i].occurrence) continue;
        const auto found =
            wanted.find({entries[i].occurrence->contact, entries[i].occurrence->start});
        if (found == wanted.end()) continue;
        out[found->second] = budget_for(plan, battery, entries[i], after[i]);
        out[found->second]->on_charger = overlaps_charging(charging, entries[i]);
    }
}

}  // namespace

std::vector<std::optional<ContactBudget>> budget_of(const Plan& plan, UtcTime from,
                                                    const std::vector<Occurrence>& due) {
    std::vector<std::optional<ContactBudget>> budgets(due.size());
    if (due.empty()) return budgets;
    for (const Battery& battery : plan.batteries) {
        budget_battery(plan, battery, from, due, budgets);
    }
    return budgets;
}

}  // namespace skedlark::station
