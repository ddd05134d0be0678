// An exercise to hand out, or the marks of one that was copied.
#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "gui/sheet/kinds.h"
#include "gui/sheet/phrases.h"

namespace skedlark::gui {
namespace {

struct Tally {
    double sent = 0.0;
    double wrong = 0.0;
};

void add_exercise(Sheet& sheet, const JsonView& view) {
    SheetPart part;
    part.heading = "Exercise: " + view.text("kind");
    part.say(fmt::format("{} of the kind {}; made with --seed {}, which makes it again.",
                         shown(view.number("count"), 0), view.text("kind"),
                         shown(view.number("seed"), 0)));
    if (view.has("text")) {
        part.blocks.push_back(CopiedWords{{{view.text("text"), false}}});
    } else {
        part.say(fmt::format("Keyed for copying in {}, {}; its text is in {}.", view.text("file"),
                             shown(view.number("speed_wpm"), 1, "words a minute"),
                             view.text("text_file")));
        part.say(WordsKind::caution, "Begin with the headphones turned low.");
    }
    sheet.parts.push_back(std::move(part));
}

// What was sent above what was typed, in rows; faults have a mark under them.
CopiedWords rows_of(const std::vector<JsonView>& characters) {
    constexpr std::size_t kColumns = 60;
    CopiedWords words;
    std::string sent;
    std::string typed;
    std::string marks;
    const auto flush = [&] {
        if (sent.empty()) return;
        words.runs.push_back(
            {"sent   " + sent + "\ntyped  " + typed + "\n       " + marks + "\n\n", false});
        sent.clear();
        typed.clear();
        marks.clear();
    };
    for (const JsonView& one : characters) {
        const std::string mark = one.needed_text("mark");
        if (mark == "gap_extra") continue;
        const bool gap = mark.starts_with("gap");
        const std::string a = gap ? " " : one.text("sent");
        const std::string b = gap ? (mark == "gap_right" ? " " : "^") : one.text("typed");
        const char* sign = mark == "right" || mark == "gap_right" ? " "
                           : mark == "wrong"                      ? "x"
                           : mark == "missing"                    ? "-"
                           : mark == "extra"                      ? "+"
                                                                  : "_";
        const std::size_t width = std::max({a.size(), b.size(), std::size_t{1}});
        const auto padded = [&](std::string text) {
            return text + std::string(width - std::min(width, text.size()), ' ');
        };
        sent += padded(a);
        typed += padded(b);
        marks += padded(gap ? " " : sign);
        if (sent.size() >= kColumns && gap) flush();
    }
    flush();
    return words;
}

void add_by_character(SheetPart& part, const std::vector<JsonView>& characters) {
    std::map<std::string, Tally> tallies;
    for (const JsonView& one : characters) {
        const std::string mark = one.needed_text("mark");
        if (mark.starts_with("gap") || one.text("sent").empty()) continue;
        Tally& tally = tallies[one.text("sent")];
        tally.sent += 1.0;
        tally.wrong += mark == "right" ? 0.0 : 1.0;
    }
    Plot plot;
    plot.title = "Characters that went wrong";
    plot.x.title = "character";
    plot.y.title = "times";
    plot.y.whole = true;
    PlotSeries sent{"sent", SeriesLook::dots, {}, {}};
    PlotSeries wrong{"not right", SeriesLook::bars, {}, {}};
    for (const auto& [name, tally] : tallies) {
        if (!(tally.wrong > 0.0)) continue;
        const auto at = static_cast<double>(plot.x.names.size());
        plot.x.names.push_back(name);
        wrong.x.push_back(at);
        wrong.y.push_back(tally.wrong);
        sent.x.push_back(at);
        sent.y.push_back(tally.sent);
        plot.said += fmt::format("{}{} {} of {}", plot.said.empty() ? "" : ", ", name,
                                 shown(tally.wrong, 0), shown(tally.sent, 0));
    }
    if (plot.x.names.empty()) return;
    plot.series = {wrong, sent};
    part.blocks.push_back(std::move(plot));
}

void add_marked(Sheet& sheet, const JsonView& view) {
    SheetPart part;
    part.heading = "Copied: " + file_name(view.text("sent_file"));
    part.say(WordsKind::verdict,
             fmt::format("{} right: {} of {} characters", percent(view.needed("right_share"), 1),
                         shown(view.needed("right"), 0), shown(view.needed("sent"), 0)));
    part.blocks.push_back(Table{"How each was copied",
                                {{"Right", true},
                                 {"Taken for another", true},
                                 {"Left open", true},
                                 {"Left out", true},
                                 {"Put in", true}},
                                {{shown(view.number("right"), 0), shown(view.number("wrong"), 0),
                                  shown(view.number("open"), 0), shown(view.number("missing"), 0),
                                  shown(view.number("extra"), 0)}}});
    const double next = view.number("next_wpm");
    part.say(
        view.has("next_wpm")
            ? fmt::format("Copied at {}; next at {}, {} groups a minute.",
                          shown(view.number("speed_wpm"), 1, "words a minute"), shown(next, 1),
                          shown(view.number("next_groups_a_minute"), 1))
            : fmt::format("Next at {} times this speed.", shown(view.number("speed_ratio"), 2)));
    Table pairs{
        "What was taken for what", {{"Sent", false}, {"Typed", false}, {"Times", true}}, {}};
    for (const JsonView& pair : view.list("pairs")) {
        pairs.rows.push_back(
            {pair.needed_text("sent"), pair.needed_text("typed"), shown(pair.needed("count"), 0)});
    }
    if (!pairs.rows.empty()) part.blocks.push_back(std::move(pairs));
    const auto characters = view.list("characters");
    add_by_character(part, characters);
    if (!characters.empty()) part.blocks.push_back(rows_of(characters));
    part.say(WordsKind::small,
             "x taken for another, _ left open, - left out, + put in, ^ a gap left out.");
    sheet.parts.push_back(std::move(part));
}

}  // namespace

Sheet drill_sheet(const Results& results) {
    Sheet sheet;
    sheet.title = "Practice";
    for (const ResultInput& input : results.inputs) {
        for (const ResultLine& line : input.lines) {
            if (line.event == "exercise") add_exercise(sheet, line.view());
            if (line.event == "marked") add_marked(sheet, line.view());
        }
    }
    return sheet;
}

}  // namespace skedlark::gui
