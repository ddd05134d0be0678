// How it was sent.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "gui/sheet/fist_plots.h"
#include "gui/sheet/kinds.h"
#include "gui/sheet/phrases.h"

namespace skedlark::gui {
namespace {

void add_score(SheetPart& part, const JsonView& summary) {
    part.say(WordsKind::verdict, fmt::format("Score {} of 100", shown(summary.needed("score"), 1)));
    part.say(
        "Of a hundred characters, how many a listener reads right who would read all of machine "
        "sending right.");
    Table table{"What the score is made of",
                {{"Part", false},
                 {"Kept", true},
                 {"Taken for its neighbour", true},
                 {"Of a machine's", true}},
                {}};
    for (const JsonView& one : summary.list("score_parts")) {
        table.rows.push_back({one.needed_text("name"), percent(one.needed("kept"), 1),
                              one_in(one.number("misread")), one_in(one.number("machine"))});
    }
    if (!table.rows.empty()) part.blocks.push_back(std::move(table));
}

void add_lengths(SheetPart& part, const JsonView& tone) {
    const auto timing = tone.object("timing");
    if (!timing) return;
    struct Row {
        const char* name;
        const char* mean;
        const char* cv;
        int standard;
    };
    Table table{"Lengths",
                {{"", false}, {"Mean", true}, {"Spread", true}, {"Dots", true}, {"Standard", true}},
                {}};
    const double dot_ms = timing->number("dot_ms");
    for (const Row& row : {Row{"Dot", "dot_ms", "dot_cv", 1}, Row{"Dash", "dash_ms", "dash_cv", 3},
                           Row{"Gap in a character", "element_gap_ms", "element_gap_cv", 1},
                           Row{"Gap between characters", "character_gap_ms", "character_gap_cv", 3},
                           Row{"Gap between words", "word_gap_ms", "word_gap_cv", 7}}) {
        const double mean_ms = timing->number(row.mean);
        table.rows.push_back({row.name, shown(mean_ms, 1, "ms"), percent(timing->number(row.cv)),
                              shown(mean_ms / dot_ms, 2), std::to_string(row.standard)});
    }
    part.blocks.push_back(std::move(table));
    part.say(fmt::format(
        "Dash to dot {} (standard 3), weight {} (standard 0.50); speed {} in characters, {} with "
        "the "
        "gaps as sent; it changes by {} from first to last.",
        shown(timing->number("dash_to_dot"), 2), shown(timing->number("weight"), 2),
        shown(tone.number("speed_wpm"), 1, "wpm"), shown(tone.number("overall_wpm"), 1, "wpm"),
        shown(tone.number("drift_percent"), 1, "%")));
}

void add_plots(SheetPart& part, const ResultInput& input) {
    const ResultLine* line = input.last("keying");
    if (line == nullptr) return;
    const JsonView keying = line->view();
    const double unit_s = 0.001 * keying.needed("unit_ms");
    if (!(unit_s > 0.0)) keying.refuse("unit_ms must be above 0");
    std::vector<fist::SentLength> lengths;
    for (const JsonView& one : keying.list("lengths")) {
        const auto kind = fist::length_kind_by_name(one.text_at(0));
        if (!kind) one.refuse("\"" + one.text_at(0) + "\" is no kind of length");
        lengths.push_back({*kind, one.number_at(1), 0.001 * one.number_at(2)});
    }
    for (Plot& plot :
         std::vector<Plot>{marks_histogram(lengths, unit_s), gaps_histogram(lengths, unit_s),
                           marks_over_time(lengths, unit_s), gaps_over_time(lengths, unit_s),
                           speed_over_time(lengths)}) {
        if (!plot.series.empty()) part.blocks.push_back(std::move(plot));
    }
}

void add_characters(SheetPart& part, const JsonView& tone) {
    auto all = tone.members("rhythm");
    std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) {
        return a.second.number("off_standard") > b.second.number("off_standard");
    });
    Table table{"By character, furthest from the standard first (mark and gap in turn, in dots)",
                {{"Character", false}, {"Sent", true}, {"Off", true}, {"Rhythm", false}},
                {}};
    for (const auto& [name, one] : all) {
        std::string units;
        for (const JsonView& unit : one.list("units")) {
            units += (units.empty() ? "" : " · ") + shown(unit.as_number(), 1);
        }
        table.rows.push_back(
            {name, shown(one.needed("count"), 0), percent(one.number("off_standard")), units});
    }
    if (!table.rows.empty()) part.blocks.push_back(std::move(table));
}

void add_faults(SheetPart& part, const JsonView& summary) {
    Table table{"Faults and what to do",
                {{"At", true}, {"Whose", false}, {"What was measured", false}, {"Advice", false}},
                {}};
    for (const JsonView& one : summary.list("faults")) {
        table.rows.push_back({clock_of(one.number("at_s")),
                              one.truth("of_hand").value_or(true) ? "hand" : "key or transmitter",
                              one.text("said"), one.text("advice")});
    }
    if (table.rows.empty()) {
        part.say("No fault of hand or transmitter stands out.");
    } else {
        part.blocks.push_back(std::move(table));
    }
}

std::string words_for(const std::string& kind) {
    return kind == "run_together" ? "run together" : kind;
}

void add_text(SheetPart& part, const JsonView& summary) {
    const auto characters = summary.object("characters");
    if (!characters) {
        part.say("The text meant was not given: what was sent wrong is not told.");
        return;
    }
    part.say(
        fmt::format("{} of {} characters right; longest row without a fault: {} counted "
                    "characters; {} corrected by the sender.",
                    shown(characters->needed("right"), 0), shown(characters->needed("meant"), 0),
                    shown(characters->number("longest_solid_counted"), 0),
                    shown(characters->number("corrections"), 0)));
    Table table{"Against the text",
                {{"At", true}, {"What", false}, {"Meant", false}, {"Sounded like", false}},
                {}};
    for (const JsonView& one : summary.list("errors")) {
        const bool corrected = one.truth("corrected").value_or(false);
        table.rows.push_back({clock_of(one.number("at_s")),
                              words_for(one.needed_text("kind")) + (corrected ? ", corrected" : ""),
                              one.text("meant"), one.text("sent")});
    }
    if (!table.rows.empty()) part.blocks.push_back(std::move(table));
}

void add_key(SheetPart& part, const JsonView& summary) {
    const auto key = summary.object("key");
    if (!key) return;
    part.say(fmt::format(
        "Key against what was received: marks begin {} late and end {} late, so they lose {}; lost "
        "altogether are {} of {} dots and {} of {} dashes.",
        shown(key->number("rise_late_ms"), 1, "ms"), shown(key->number("fall_late_ms"), 1, "ms"),
        shown(key->number("shortened_ms"), 1, "ms"), shown(key->number("dots_lost"), 0),
        shown(key->number("dots"), 0), shown(key->number("dashes_lost"), 0),
        shown(key->number("dashes"), 0)));
}

void add_input(Sheet& sheet, const ResultInput& input, bool several) {
    const ResultLine* line = input.last("summary");
    SheetPart part;
    if (several) part.heading = file_name(input.name);
    if (line == nullptr) {
        part.say(WordsKind::caution, "The result ends before its summary: nothing is graded.");
        sheet.parts.push_back(std::move(part));
        return;
    }
    const JsonView summary = line->view();
    const auto tones = summary.list("tones");
    if (tones.empty()) summary.refuse("\"tones\" holds no tone");
    const JsonView& tone = tones.front();
    if (!several) {
        sheet.facts = {
            {"Recording", input.name},
            {"Length", clock_of(summary.number("seconds"))},
            {"Tone", fmt::format("{}, {} in 2500 Hz", shown(tone.number("pitch_hz"), 1, "Hz"),
                                 shown(tone.number("snr_2500hz_db"), 1, "dB"))},
            {"Speed", shown(tone.number("speed_wpm"), 1, "words a minute")}};
    }
    for (const ResultLine* note : input.events("note"))
        part.say(WordsKind::caution, note->view().text("text"));
    add_score(part, summary);
    add_faults(part, summary);
    add_text(part, summary);
    part.blocks.push_back(CopiedWords{{{"Reads: " + tone.text("text"), false}}});
    add_lengths(part, tone);
    add_key(part, summary);
    add_plots(part, input);
    add_characters(part, tone);
    sheet.parts.push_back(std::move(part));
}

}  // namespace

Sheet fist_sheet(const Results& results) {
    Sheet sheet;
    sheet.title = "How it was sent";
    for (const ResultInput& input : results.inputs)
        add_input(sheet, input, results.inputs.size() > 1);
    SheetPart end;
    end.say(
        WordsKind::small,
        "Standard: ITU-R M.1677-1, dash and gap between characters 3 dots, gap between words 7. A "
        "spread is the standard deviation over the mean, without the error of measuring. How the "
        "score is defined stands in docs/how-grading-works.md.");
    sheet.parts.push_back(std::move(end));
    return sheet;
}

}  // namespace skedlark::gui
