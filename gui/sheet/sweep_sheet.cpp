// Stations met in a sweep, and where the wanted one can still be.
#include <fmt/format.h>

#include <cmath>

#include "gui/sheet/kinds.h"
#include "gui/sheet/phrases.h"

namespace skedlark::gui {
namespace {

std::string kind_of(const JsonView& station) {
    if (station.truth("broadcast").value_or(false)) return "broadcast";
    const auto keyed = station.truth("keyed");
    return !keyed ? "unknown" : *keyed ? "keyed" : "steady";
}

// "41.20 to 41.60"
std::string stretch_of(const JsonView& view, const char* name) {
    const auto ends = view.list(name);
    if (ends.size() != 2) return kNothing;
    return shown(ends[0].as_number(), 2) + " to " + shown(ends[1].as_number(), 2);
}

Table stations_table(const std::vector<const ResultLine*>& lines) {
    Table table{"Stations met",
                {{"Division", true},
                 {"95 %", true},
                 {"MHz", true},
                 {"Kind", false},
                 {"SNR in 2500 Hz", true},
                 {"At", true},
                 {"Call or text", false}},
                {}};
    for (const ResultLine* line : lines) {
        const JsonView view = line->view();
        const auto call = view.object("call");
        const double at_s =
            view.has("zero_beat_s") ? view.number("zero_beat_s") : view.number("rest_s");
        table.rows.push_back({shown(view.needed("div"), 2), stretch_of(view, "div_95"),
                              shown(view.number("mhz"), 4), kind_of(view),
                              shown(view.number("snr_2500hz_db"), 1, "dB"), clock_of(at_s),
                              call ? fmt::format("{} ({} sure)", call->text("call"),
                                                 percent(call->number("confidence")))
                                   : view.text("text")});
    }
    return table;
}

Plot stations_plot(const std::vector<const ResultLine*>& lines, const JsonView* sweep) {
    Plot plot;
    plot.title = "Stations along the dial";
    plot.x.title = "division";
    plot.y.title = "SNR in 2500 Hz (dB)";
    if (sweep != nullptr) {
        const double a = sweep->number("from_div");
        const double b = sweep->number("to_div");
        if (std::isfinite(a) && std::isfinite(b) && a != b) {
            plot.x.from = std::min(a, b);
            plot.x.to = std::max(a, b);
        }
        const double back = sweep->number("go_back_div");
        if (std::isfinite(back)) plot.marks.push_back({back, true, "go back to"});
    }
    for (const char* kind : {"keyed", "steady", "broadcast", "unknown"}) {
        PlotSeries series{kind, SeriesLook::dots, {}, {}};
        for (const ResultLine* line : lines) {
            if (kind_of(line->view()) != kind) continue;
            series.x.push_back(line->view().needed("div"));
            series.y.push_back(line->view().number("snr_2500hz_db"));
        }
        if (series.x.empty()) continue;
        plot.said += fmt::format("{}{} {}", plot.said.empty() ? "" : ", ", series.x.size(), kind);
        plot.series.push_back(std::move(series));
    }
    return plot;
}

void add_map(SheetPart& part, const JsonView& map) {
    part.say(
        fmt::format("{}: likeliest at {}, with 95 % from {}; the sweeps so far ({}) would have "
                    "found it with {}.",
                    shown(map.number("mhz"), 4, "MHz"), shown(map.number("likeliest_div"), 2),
                    stretch_of(map, "div_95"), shown(map.number("passes"), 0),
                    percent(map.number("chance_so_far"), 1)));
    if (const auto next = map.object("next")) {
        part.say(fmt::format("Next: {} to {} at {} divisions a minute, {}; it finds it with {}.",
                             shown(next->number("from_div"), 2), shown(next->number("to_div"), 2),
                             shown(next->number("div_per_min"), 2),
                             clock_of(next->number("seconds")),
                             percent(next->number("chance"), 1)));
    }
    Plot plot;
    plot.title = "Where it can still be";
    plot.x.title = "division";
    plot.y.title = "chance (% a division)";
    PlotSeries series{"chance", SeriesLook::line, {}, {}};
    for (const JsonView& point : map.list("density")) {
        series.x.push_back(point.number_at(0));
        series.y.push_back(100.0 * point.number_at(1));
    }
    if (series.x.empty()) return;
    plot.y.from = 0.0;
    plot.said = fmt::format("likeliest at division {}", shown(map.number("likeliest_div"), 2));
    plot.series.push_back(std::move(series));
    if (const double div = map.number("likeliest_div"); std::isfinite(div))
        plot.marks.push_back({div, true, "likeliest"});
    part.blocks.push_back(std::move(plot));
}

}  // namespace

Sheet sweep_sheet(const Results& results) {
    Sheet sheet;
    sheet.title = "Stations met in a sweep";
    const bool several = results.inputs.size() > 1;
    for (const ResultInput& input : results.inputs) {
        SheetPart part;
        const ResultLine* end = input.last("sweep");
        std::optional<JsonView> sweep;
        if (end != nullptr) sweep = end->view();
        if (several) {
            part.heading = file_name(input.name);
        } else {
            if (!input.name.empty()) sheet.facts.emplace_back("Input", input.name);
            if (sweep) {
                sheet.facts.emplace_back(
                    "Swept", fmt::format("division {} to {}", shown(sweep->number("from_div"), 2),
                                         shown(sweep->number("to_div"), 2)));
                sheet.facts.emplace_back("Length", clock_of(sweep->number("seconds")));
            }
        }
        const auto stations = input.events("station");
        if (!sweep) {
            part.say(WordsKind::caution,
                     "The result ends before the sweep does: what came after is not here.");
        } else if (const double back = sweep->number("go_back_div"); std::isfinite(back)) {
            part.say(WordsKind::verdict,
                     fmt::format("Go back to division {} for zero beat, about {} to hear it.",
                                 shown(back, 2), shown(sweep->number("go_back_listen_div"), 2)));
        } else {
            part.say(WordsKind::verdict, "Nothing keyed was met.");
        }
        if (!stations.empty()) {
            part.blocks.push_back(stations_table(stations));
            part.blocks.push_back(stations_plot(stations, sweep ? &*sweep : nullptr));
        }
        if (sweep) {
            if (const auto map = sweep->object("map")) add_map(part, *map);
        }
        sheet.parts.push_back(std::move(part));
    }
    return sheet;
}

}  // namespace skedlark::gui
