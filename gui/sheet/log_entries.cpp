#include "gui/sheet/log_entries.h"

#include <algorithm>

namespace skedlark::gui {
namespace {

log::Entry entry_of(const JsonView& view) {
    log::Entry entry;
    entry.id = static_cast<std::int64_t>(view.number("id"));
    entry.kind = view.needed_text("kind");
    const auto started = parse_utc(view.needed_text("started_utc"));
    if (!started) view.refuse("started_utc: " + started.error().message);
    entry.started = *started;
    entry.seconds = view.number("seconds");
    entry.who = view.text("who");
    entry.receiver = view.text("receiver");
    entry.input = view.text("input");
    entry.outcome = view.text("outcome");
    entry.note = view.text("note");
    for (const JsonView& one : view.list("measurements")) {
        log::Measurement measured;
        measured.name = one.needed_text("name");
        measured.value = one.number("value");
        measured.uncertainty_95 = one.number("uncertainty_95");
        measured.limit = one.number("limit");
        measured.pass = one.truth("pass");
        entry.measurements.push_back(std::move(measured));
    }
    return entry;
}

}  // namespace

std::vector<log::Entry> log_entries(const Results& results) {
    std::vector<log::Entry> entries;
    for (const ResultInput& input : results.inputs) {
        for (const ResultLine* line : input.events("entry"))
            entries.push_back(entry_of(line->view()));
    }
    std::stable_sort(entries.begin(), entries.end(),
                     [](const auto& a, const auto& b) { return a.started < b.started; });
    return entries;
}

std::string day_of(UtcTime time) { return utc_text(time).substr(0, 10); }

double days_of(UtcTime time) {
    return static_cast<double>(time.time_since_epoch().count()) / 86400000.0;
}

}  // namespace skedlark::gui
