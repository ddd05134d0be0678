// What was copied, and how sure that is.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/core/units.h"
#include "gui/copy/copy_text.h"
#include "gui/copy/message.h"
#include "gui/sheet/kinds.h"
#include "gui/sheet/phrases.h"

namespace skedlark::gui {
namespace {

FrameIndex frames(double seconds) {
    return static_cast<FrameIndex>(std::llround(seconds * kWorkRateHz));
}

CharEvent char_of(const JsonView& line) {
    CharEvent event;
    event.tone = static_cast<int>(line.needed("tone"));
    event.from_frame = frames(line.needed("from_s"));
    event.to_frame = frames(line.needed("to_s"));
    event.text = line.needed_text("char");
    event.confidence = line.needed("confidence");
    event.procedure = line.truth("procedure").value_or(false);
    event.final = line.truth("final").value_or(true);
    for (const JsonView& other : line.list("others"))
        event.others.emplace_back(other.text_at(0), other.number_at(1));
    return event;
}

// As the desk takes it: a final character replaces what was heard in its time, own sending is left out, a
// correction stands beside what was read.
CopyText text_of(const ResultInput& input) {
    CopyText text;
    for (const ResultLine& line : input.lines) {
        const JsonView view = line.view();
        if (line.event == "char") text.add(char_of(view));
        if (line.event == "sending")
            text.add_sending({frames(view.needed("from_s")), frames(view.needed("to_s"))});
    }
    for (const ResultLine* line : input.events("correction")) {
        const JsonView view = line->view();
        text.correct_stretch(static_cast<int>(view.needed("tone")),
                             {frames(view.needed("from_s")), frames(view.needed("to_s"))},
                             view.text("corrected"));
    }
    return text;
}

CopiedWords runs_of(const std::vector<Copied>& characters) {
    CopiedWords words;
    FrameIndex end = 0;
    bool any = false;
    for (const Copied& one : characters) {
        if (one.own) continue;
        const double pause_s = static_cast<double>(one.read.from_frame - end) / kWorkRateHz;
        std::string text = one.as_taken();
        if (any && pause_s > kNewLineAfterS && !one.is_gap()) text = "\n" + text;
        if (one.is_gap() &&
            static_cast<double>(one.read.to_frame - one.read.from_frame) / kWorkRateHz >
                kNewLineAfterS) {
            text = "\n";
        }
        end = one.read.to_frame;
        any = true;
        const bool doubtful = !one.is_gap() && one.doubtful();
        if (words.runs.empty() || words.runs.back().doubtful != doubtful)
            words.runs.push_back({"", doubtful});
        words.runs.back().text += text;
    }
    return words;
}

Plot confidence_plot(const std::vector<Copied>& characters) {
    Plot plot;
    plot.title = "How sure each character is";
    plot.x.title = "time (s)";
    plot.y.title = "sure (%)";
    plot.y.from = 0.0;
    plot.y.to = 105.0;
    PlotSeries series{"characters", SeriesLook::dots, {}, {}};
    int below = 0;
    for (const Copied& one : characters) {
        if (one.own || one.is_gap()) continue;
        series.x.push_back(seconds_from_frames(one.read.from_frame));
        series.y.push_back(100.0 * one.read.confidence);
        below += one.read.confidence < kDoubtfulBelow ? 1 : 0;
    }
    plot.said = fmt::format("{} characters, {} of them less than {:.0f} % sure", series.x.size(),
                            below, 100.0 * kDoubtfulBelow);
    plot.marks = {{100.0 * kDoubtfulBelow, false, "doubtful below"}};
    if (!series.x.empty()) plot.series.push_back(std::move(series));
    return plot;
}

// Characters of a stretch: what they read, the least sure, what else they may be.
struct Doubt {
    std::string as_read, others;
    double least = 1.0;
};
Doubt doubt_of(const std::vector<Copied>& characters, const CopiedGroup& group) {
    Doubt doubt;
    for (const Copied& one : characters) {
        if (one.read.from_frame < group.from || one.read.from_frame >= group.to || one.own)
            continue;
        if (one.is_gap()) continue;
        doubt.as_read += one.as_read();
        doubt.least = std::min(doubt.least, one.read.confidence);
        if (one.doubtful()) doubt.others += (doubt.others.empty() ? "" : "; ") + readings_of(one);
    }
    return doubt;
}

void add_message(SheetPart& part, const std::vector<Copied>& characters) {
    const CopiedMessage message = find_message(characters);
    if (message.groups.empty()) return;
    if (!message.preamble.empty()) part.say("Preamble: " + message.preamble);
    part.say((message.in_fives ? "Groups of five: " : "Words: ") + message.count_in_words() +
             (message.ended ? "" : "; its end was not copied") + ".");
    Table doubtful{"Doubtful groups",
                   {{"No.", true},
                    {"At", true},
                    {"Taken as", false},
                    {"Read", false},
                    {"Least sure", true},
                    {"Readings", false}},
                   {}};
    for (std::size_t i = 0; i < message.groups.size(); ++i) {
        const CopiedGroup& group = message.groups[i];
        const Doubt doubt = doubt_of(characters, group);
        if (group.doubt.empty() && !group.corrected && doubt.least >= kDoubtfulBelow) continue;
        doubtful.rows.push_back({std::to_string(i + 1), clock_of(seconds_from_frames(group.from)),
                                 group.text + (group.corrected ? " (corrected)" : ""),
                                 doubt.as_read, percent(doubt.least),
                                 doubt.others.empty() ? group.doubt : doubt.others});
    }
    if (doubtful.rows.empty()) {
        part.say("No group is doubtful.");
    } else {
        part.blocks.push_back(std::move(doubtful));
        if (const std::string request = message.request(); !request.empty())
            part.say("To ask for: " + request);
    }
    // Numbered, so that two sheets can be compared group by group.
    Table table{"The message group by group (? doubtful, * corrected)", {}, {}};
    constexpr std::size_t kInARow = 5;
    for (std::size_t i = 0; i < kInARow; ++i) {
        table.columns.push_back({"No.", true});
        table.columns.push_back({"", false});
    }
    for (std::size_t i = 0; i < message.groups.size(); ++i) {
        if (i % kInARow == 0) table.rows.emplace_back();
        const CopiedGroup& group = message.groups[i];
        table.rows.back().push_back(std::to_string(i + 1));
        table.rows.back().push_back(group.text + (group.doubt.empty() ? "" : " ?") +
                                    (group.corrected ? " *" : ""));
    }
    table.rows.back().resize(2 * kInARow);
    part.blocks.push_back(std::move(table));
}

void add_tone(SheetPart& part, const CopyText& text, int tone, const JsonView* summary) {
    const auto span = text.final_of(tone);
    const std::vector<Copied> characters(span.begin(), span.end());
    if (characters.empty()) return;
    std::string facts = fmt::format("Tone {}", tone);
    if (summary != nullptr) {
        facts += fmt::format(": {}, {} in 2500 Hz, {}; characters {} sure on the mean",
                             shown(summary->number("pitch_hz"), 1, "Hz"),
                             shown(summary->number("snr_2500hz_db"), 1, "dB"),
                             shown(summary->number("speed_wpm"), 1, "words a minute"),
                             percent(summary->number("mean_confidence")));
    }
    part.say(facts + ".");
    part.blocks.push_back(runs_of(characters));
    add_message(part, characters);
    if (Plot plot = confidence_plot(characters); !plot.series.empty())
        part.blocks.push_back(std::move(plot));
}

void add_lost(SheetPart& part, const ResultInput& input) {
    for (const ResultLine* line : input.events("audio_lost")) {
        const JsonView view = line->view();
        part.say(WordsKind::caution,
                 fmt::format("Audio was lost from {} to {} ({}): what was sent then is missing.",
                             clock_of(view.number("from_s")), clock_of(view.number("to_s")),
                             view.text("reason")));
    }
    for (const ResultLine* line : input.events("note"))
        part.say(clock_of(line->view().number("at_s")) + "  " + line->view().text("text"));
    for (const ResultLine* line : input.events("call")) {
        part.say(fmt::format("{}  the call {} was sent.", clock_of(line->view().number("at_s")),
                             line->view().needed_text("call")));
    }
}

}  // namespace

Sheet copy_sheet(const Results& results) {
    Sheet sheet;
    sheet.title = "What was copied";
    const bool several = results.inputs.size() > 1;
    for (const ResultInput& input : results.inputs) {
        SheetPart part;
        const CopyText text = text_of(input);
        const ResultLine* summary = input.last("summary");
        if (several) {
            part.heading = file_name(input.name);
        } else {
            if (!input.name.empty()) sheet.facts.emplace_back("Input", input.name);
            if (!input.lines.empty() && input.lines.front().view().has("utc"))
                sheet.facts.emplace_back("Began", input.lines.front().view().text("utc"));
            if (summary != nullptr)
                sheet.facts.emplace_back("Length", clock_of(summary->view().number("seconds")));
        }
        if (summary == nullptr) {
            part.say(WordsKind::caution,
                     "The result ends before its summary: what came after is not here.");
        }
        add_lost(part, input);
        const auto tones =
            summary == nullptr ? std::vector<JsonView>{} : summary->view().list("tones");
        std::vector<int> order;
        for (const JsonView& tone : tones) {
            const int number = static_cast<int>(tone.needed("tone"));
            order.push_back(number);
            add_tone(part, text, number, &tone);
        }
        for (const int tone : text.tones()) {
            if (std::find(order.begin(), order.end(), tone) == order.end())
                add_tone(part, text, tone, nullptr);
        }
        if (text.tones().empty()) part.say(WordsKind::verdict, "Nothing was copied.");
        sheet.parts.push_back(std::move(part));
    }
    SheetPart end;
    end.say(WordsKind::small,
            fmt::format("Underlined characters are less than {:.0f} % sure; _ stands where nothing "
                        "could be read. A share of surety is the chance that the reading is right.",
                        100.0 * kDoubtfulBelow));
    sheet.parts.push_back(std::move(end));
    return sheet;
}

}  // namespace skedlark::gui
