#include "gui/fist/fist_rows.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "dsp/fist/test_rules.h"
#include "dsp/log/sending_entry.h"
#include "dsp/morse/code_text.h"

namespace skedlark::gui {

namespace {

using morse::ElementKind;

std::string shown(double value, int decimals, const char* unit = "") {
    return std::isfinite(value) ? fmt::format("{:.{}f}{}", value, decimals, unit) : "n/a";
}

// "72 ms ±9 %, 1.1 dots"
Figure length_figure(const fist::Statistics& s, const char* name, ElementKind kind) {
    const fist::LengthStatistics& one = s.of(kind);
    Figure out;
    out.name = name;
    out.wanted = fmt::format("{:.0f}", fist::standard_units(kind));
    if (!std::isfinite(one.mean_s)) {
        out.value = "n/a";
        return out;
    }
    out.value = fmt::format("{:.0f} ms", 1e3 * one.mean_s);
    if (std::isfinite(one.cv())) out.value += fmt::format(" \u00b1{:.0f} %", 100.0 * one.cv());
    if (std::isfinite(s.unit_s)) out.value += fmt::format(", {:.1f}", one.mean_s / s.unit_s);
    return out;
}

std::string whose_of(fist::FaultKind kind) {
    if (fist::is_of_hand(kind)) return "hand";
    const bool key =
        kind == fist::FaultKind::contact_bounce || kind == fist::FaultKind::uneven_dots;
    return key ? "key" : "transmitter";
}

int rank_of(const std::string& whose) {
    return whose == "hand" ? 0 : whose == "key" ? 1 : whose == "transmitter" ? 2 : 3;
}

// Under the name that counts: AR and + are one.
std::string counted(const std::string& written) {
    const bool procedure = written.size() > 2 && written.front() == '[';
    const auto* symbol = morse::find_by_text(
        procedure ? std::string_view(written).substr(1, written.size() - 2) : written, procedure);
    return symbol == nullptr ? written : morse::scoring_name(*symbol);
}

std::map<std::string, std::string> sounded_like(const fist::Alignment& alignment) {
    std::map<std::string, std::map<std::string, int>> counts;
    for (const fist::TextError& error : alignment.errors) {
        const std::string heard = error.sent.empty() ? "nothing" : error.sent;
        const auto meant = morse::symbols_from_text(error.meant);
        if (!meant) continue;
        for (const auto& symbol : *meant) {
            if (!symbol) continue;
            const std::string how = meant->size() > 1 ? "run together: " + heard : heard;
            ++counts[morse::scoring_name(*symbol)][how];
        }
    }
    std::map<std::string, std::string> out;
    for (const auto& [meant, sent] : counts) {
        std::vector<std::pair<std::string, int>> ranked(sent.begin(), sent.end());
        std::stable_sort(ranked.begin(), ranked.end(),
                         [](const auto& a, const auto& b) { return a.second > b.second; });
        for (const auto& [what, count] : ranked) {
            std::string& words = out[meant];
            words += (words.empty() ? "" : ", ") + what;
            if (count > 1) words += fmt::format(" {}x", count);
        }
    }
    return out;
}

std::string rhythm_words(const fist::CharacterRhythm& rhythm) {
    std::string out;
    for (std::size_t i = 0; i < rhythm.units.size(); ++i) {
        const std::string units = fmt::format("{:.1f}", rhythm.units[i]);
        out += i == 0 ? units : i % 2 == 1 ? " (" + units + ") " : units;
    }
    return out;
}

}  // namespace

std::string minutes_of(double seconds) {
    const auto whole = static_cast<int>(std::max(0.0, seconds));
    return fmt::format("{}:{:02}", whole / 60, whole % 60);
}

std::vector<Figure> figures_of(const fist::Grade& grade) {
    const fist::Statistics& s = grade.statistics;
    return {{"Score", fmt::format("{:.0f}", grade.score.total), "100"},
            {"Speed", shown(s.character_wpm, 1, " wpm"), ""},
            {"With gaps", shown(s.overall_wpm, 1, " wpm"), ""},
            length_figure(s, "Dot", ElementKind::dot),
            length_figure(s, "Dash", ElementKind::dash),
            length_figure(s, "Gap within", ElementKind::element_gap),
            length_figure(s, "Character gap", ElementKind::character_gap),
            length_figure(s, "Word gap", ElementKind::word_gap),
            {"Dash to dot", shown(s.dash_to_dot, 2), "3"}};
}

std::vector<FaultRow> fault_rows(const fist::Grade& grade) {
    std::vector<FaultRow> out;
    for (const fist::Fault& fault : grade.faults) {
        out.push_back({minutes_of(fault.at_s), whose_of(fault.kind), fault.said, fault.advice,
                       place_of(grade, fault)});
    }
    std::stable_sort(out.begin(), out.end(), [](const FaultRow& a, const FaultRow& b) {
        return rank_of(a.whose) < rank_of(b.whose);
    });
    if (!grade.alignment) return out;
    for (const fist::TextError& error : grade.alignment->errors) {
        std::string elements = "Heard: " + (error.elements.empty() ? "nothing" : error.elements);
        out.push_back(
            {minutes_of(error.at_s), "text", described(error), elements, place_of(grade, error)});
    }
    return out;
}

std::string fault_count_words(const std::vector<FaultRow>& rows) {
    int counts[4] = {};
    for (const FaultRow& row : rows) ++counts[rank_of(row.whose)];
    if (rows.empty()) return "No fault of hand, key or transmitter stands out.";
    return fmt::format("Hand: {}. Key and transmitter: {}. Against the text: {}.", counts[0],
                       counts[1] + counts[2], counts[3]);
}

std::vector<CharacterRow> character_rows(const Attempt& attempt) {
    std::vector<CharacterRow> out;
    if (!attempt.grade) return out;
    const fist::Grade& grade = *attempt.grade;
    const auto characters =
        log::keyed_characters(log::sending_entry(grade, attempt.text, log::SendingFacts{}));
    std::map<std::string, std::string> alike;
    if (grade.alignment) alike = sounded_like(*grade.alignment);
    std::vector<std::pair<std::string, log::KeyedCharacter>> ranked(characters.begin(),
                                                                    characters.end());
    std::stable_sort(ranked.begin(), ranked.end(), [](const auto& a, const auto& b) {
        const double first = a.second.faulty / a.second.keyed;
        const double second = b.second.faulty / b.second.keyed;
        if (first != second) return first > second;
        return a.second.off_standard > b.second.off_standard;
    });
    for (const auto& [name, one] : ranked) {
        CharacterRow row;
        row.name = name;
        row.sent = fmt::format("{:.0f}", one.keyed);
        row.right = one.with_text ? fmt::format("{:.0f}", one.keyed - one.faulty) : "n/a";
        row.off = shown(100.0 * one.off_standard, 0, " %");
        for (const auto& [written, rhythm] : grade.statistics.rhythm) {
            if (counted(written) == name) row.rhythm = rhythm_words(rhythm);
        }
        if (const auto found = alike.find(name); found != alike.end()) {
            row.sounded_like = found->second;
        }
        out.push_back(std::move(row));
    }
    return out;
}

std::vector<ScoreRow> score_rows(const fist::Grade& grade) {
    std::vector<ScoreRow> out;
    for (const fist::ScorePart& part : grade.score.parts) {
        out.push_back({part.name, fmt::format("{:.1f} %", 100.0 * part.kept),
                       fmt::format("{:.2f} %", 100.0 * part.misread),
                       fmt::format("{:.2f} %", 100.0 * part.machine)});
    }
    out.push_back({"score", fmt::format("{:.1f}", grade.score.total), "", ""});
    return out;
}

std::string summary_words(const Attempt& attempt) {
    if (!attempt.grade) return attempt.failure;
    const fist::Grade& grade = *attempt.grade;
    std::string out;
    const fist::Statistics& s = grade.statistics;
    if (std::isfinite(s.drift_percent)) {
        out += fmt::format("Speed went {} by {:.0f} % from first to last. ",
                           s.drift_percent < 0.0 ? "down" : "up", std::abs(s.drift_percent));
    }
    if (grade.alignment) {
        const fist::Alignment& a = *grade.alignment;
        out += fmt::format("{} of {} characters right", a.right, a.meant);
        if (a.corrections > 0) out += fmt::format(", {} corrected by the sender", a.corrections);
        if (a.repeats > 0) out += fmt::format(", {} passages sent again", a.repeats);
        out += a.stopped_early() ? fmt::format("; stopped after {}. ", a.reached) : ". ";
        const int solid = fist::longest_solid(attempt.text, a.right_at);
        out += fmt::format("Longest row without a fault: {} counted characters, {:.1f} min. ",
                           solid, fist::solid_minutes(solid, s.overall_wpm));
    }
    if (attempt.key) {
        const fist::KeyComparison& key = *attempt.key;
        out += fmt::format(
            "Key against tone: begins {:.1f} ms late, ends {:.1f} ms late, marks lose {:.1f} ms; "
            "lost {} of {} dots, {} of {} dashes. ",
            1e3 * key.rise.mean_s, 1e3 * key.fall.mean_s, 1e3 * key.shortened.mean_s, key.dots_lost,
            key.dots, key.dashes_lost, key.dashes);
    }
    if (!attempt.key_failure.empty()) out += attempt.key_failure + ". ";
    return out;
}

}  // namespace skedlark::gui
