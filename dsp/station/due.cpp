#include "dsp/station/due.h"

#include <algorithm>

#include "dsp/station/repeat_rule.h"

namespace skedlark::station {

namespace {

bool is_earlier(const Occurrence& a, const Occurrence& b) {
    return a.start != b.start ? a.start < b.start : a.contact < b.contact;
}

void append_from(const Plan& plan, std::size_t index, UtcTime from, UtcTime before,
                 std::size_t count, std::vector<Occurrence>& all) {
    const Contact& contact = plan.contacts[index];
    UtcTime search = from;
    for (std::size_t i = 0; i < count; ++i) {
        const auto start = next_time(contact.start, contact.repeat, search);
        if (!start || *start >= before) return;
        all.push_back(occurrence_at(plan, index, *start));
        search = *start + std::chrono::milliseconds(1);
    }
}

}  // namespace

Occurrence occurrence_at(const Plan& plan, std::size_t contact, UtcTime start) {
    const Contact& what = plan.contacts[contact];
    Occurrence result{contact, start, start + what.duration, start - what.warm_up,
                      start + what.duration};
    for (const Fallback& fallback : what.fallbacks) {
        result.last_end = std::max(result.last_end, start + fallback.after + fallback.duration);
    }
    return result;
}

std::vector<Occurrence> due_from(const Plan& plan, UtcTime from, std::size_t count) {
    std::vector<Occurrence> all;
    for (std::size_t i = 0; i < plan.contacts.size(); ++i) {
        const Occurrence shape = occurrence_at(plan, i, UtcTime{});
        const auto reach = shape.last_end - shape.start;
        append_from(plan, i, from - reach + std::chrono::milliseconds(1), UtcTime::max(), count,
                    all);
    }
    std::sort(all.begin(), all.end(), is_earlier);
    all.resize(std::min(all.size(), count));
    return all;
}

std::vector<Occurrence> due_between(const Plan& plan, UtcTime from, UtcTime to) {
    std::vector<Occurrence> all;
    for (std::size_t i = 0; i < plan.contacts.size(); ++i) {
        append_from(plan, i, from, to, kMostDue, all);
    }
    std::sort(all.begin(), all.end(), is_earlier);
    all.resize(std::min(all.size(), kMostDue));
    return all;
}

std::optional<Occurrence> last_before(const Plan& plan, UtcTime before) {
    std::optional<Occurrence> last;
    for (std::size_t i = 0; i < plan.contacts.size(); ++i) {
        const Contact& contact = plan.contacts[i];
        const auto start = last_time(contact.start, contact.repeat, before);
        if (start && (!last || *start > last->start)) last = occurrence_at(plan, i, *start);
    }
    return last;
}

}  // namespace skedlark::station
