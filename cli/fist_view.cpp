#include "cli/fist_view.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/text_view.h"
#include "dsp/fist/sent_lengths.h"
#include "dsp/fist/test_rules.h"

namespace skedlark::cli {

namespace {

using Json = nlohmann::ordered_json;
using morse::ElementKind;

constexpr std::size_t kColumns = 80;
constexpr std::size_t kShownRhythms = 8;
constexpr std::size_t kShownErrors = 60;
constexpr double kMostSnrDb = 99.0;  // digital silence in the gaps says no more

Json number(double value, int decimals) {
    if (!std::isfinite(value)) return nullptr;
    const double scale = std::pow(10.0, decimals);
    const double rounded = std::round(value * scale) / scale;
    return rounded == 0.0 ? 0.0 : rounded;
}
Json ms(double seconds) { return number(1000.0 * seconds, 1); }

std::string shown(double value, int decimals, const char* unit = "") {
    return std::isfinite(value) ? fmt::format("{:.{}f}{}", value, decimals, unit) : "n/a";
}

// Columns a reader sees: bytes that go on a UTF-8 character take none.
std::size_t width_of(std::string_view text) {
    return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
    }));
}

// Wrapped at blanks, each line after the first led by `indent`; longer words are cut.
std::string wrapped(const std::string& first, const std::string& indent, const std::string& text) {
    std::string out = first;
    std::size_t column = width_of(first);
    const std::size_t start = width_of(indent);
    std::size_t at = 0;
    bool begun = false;
    while (at < text.size()) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        std::string word = text.substr(at, end - at);
        at = end + 1;
        if (begun && column + 1 + width_of(word) > kColumns) {
            out += "\n" + indent;
            column = start;
        } else if (begun) {
            out += ' ';
            ++column;
        }
        while (width_of(word) > kColumns - column) {
            const std::size_t room = kColumns - column;
            std::size_t bytes = 0;
            for (std::size_t seen = 0; bytes < word.size(); ++bytes) {
                if ((static_cast<unsigned char>(word[bytes]) & 0xC0U) != 0x80U && seen++ == room) {
                    break;
                }
            }
            out += word.substr(0, bytes) + "\n" + indent;
            word.erase(0, bytes);
            column = start;
        }
        out += word;
        column += width_of(word);
        begun = true;
    }
    return out + "\n";
}

std::string lengths(const fist::Grade& grade) {
    struct Row {
        const char* name;
        ElementKind kind;
        int wanted;
    };
    std::string out = "                       mean   spread    dots  wanted  number\n";
    const fist::Statistics& s = grade.statistics;
    for (const Row& row : {Row{"dot", ElementKind::dot, 1},
                           {"dash", ElementKind::dash, 3},
                           {"gap in a character", ElementKind::element_gap, 1},
                           {"between characters", ElementKind::character_gap, 3},
                           {"between words", ElementKind::word_gap, 7}}) {
        const fist::LengthStatistics& one = s.of(row.kind);
        out += fmt::format("{:<18} {:>8}  {:>6}  {:>6}  {:>6}  {:>6}\n", row.name,
                           shown(1e3 * one.mean_s, 1, " ms"), shown(100.0 * one.cv(), 0, " %"),
                           shown(one.mean_s / s.unit_s, 2), row.wanted, one.count);
    }
    out += fmt::format("dash to dot {}, weight {} (wanted 3, 0.50)\n", shown(s.dash_to_dot, 2),
                       shown(s.weight, 2));
    out += fmt::format("speed {} in characters, {} with the gaps as sent\n",
                       shown(s.character_wpm, 1, " wpm"), shown(s.overall_wpm, 1, " wpm"));
    out += fmt::format("drift {} from first to last ({} +- {} a minute), wander {}\n",
                       shown(s.drift_percent, 1, " %"), shown(s.drift_percent_per_min, 1),
                       shown(s.drift_error_percent_per_min, 1, " %"),
                       shown(100.0 * s.speed_cv, 1, " %"));
    return out;
}

std::string rhythm(const fist::Grade& grade) {
    std::vector<std::pair<std::string, fist::CharacterRhythm>> all(grade.statistics.rhythm.begin(),
                                                                   grade.statistics.rhythm.end());
    std::erase_if(all, [](const auto& one) { return one.second.units.size() < 3; });
    std::stable_sort(all.begin(), all.end(), [](const auto& a, const auto& b) {
        return a.second.off_standard > b.second.off_standard;
    });
    if (all.empty()) return "";
    std::string out = "\nCharacters furthest from the standard (mark and gap in turn, in dots):\n";
    for (std::size_t i = 0; i < std::min(all.size(), kShownRhythms); ++i) {
        std::string units;
        for (const double unit : all[i].second.units) units += fmt::format(" {:.1f}", unit);
        out += wrapped(fmt::format("  {:<5} {:>3} x, off {:>3.0f} %:", all[i].first,
                                   all[i].second.count, 100.0 * all[i].second.off_standard),
                       "      ", units);
    }
    return out;
}

std::string faults(const fist::Grade& grade) {
    if (grade.faults.empty()) return "\nNo fault of hand or transmitter stands out.\n";
    std::string out = "\nFaults:\n";
    for (const fist::Fault& fault : grade.faults) {
        const char* whose = fist::is_of_hand(fault.kind) ? "hand" : "set";
        out += wrapped(fmt::format("  {} {}: ", clock_text(fault.at_s), whose), "    ", fault.said);
        out += wrapped("    -> ", "       ", fault.advice);
    }
    return out;
}

std::string against_text(const GradedSending& graded) {
    const fist::Alignment& a = *graded.grade.alignment;
    std::string out = "\nAgainst the text:\n";
    for (std::size_t i = 0; i < std::min(a.errors.size(), kShownErrors); ++i) {
        const fist::TextError& error = a.errors[i];
        out += wrapped(fmt::format("  {} {}: ", clock_text(error.at_s), name_of(error.kind)),
                       "    ", described(error));
    }
    if (a.errors.size() > kShownErrors) {
        out += fmt::format("  and {} more\n", a.errors.size() - kShownErrors);
    }
    out += fmt::format("  {} of {} characters right", a.right, a.meant);
    if (a.corrections > 0) out += fmt::format(", {} corrected by the sender", a.corrections);
    if (a.repeats > 0) out += fmt::format(", {} passages sent again", a.repeats);
    out += a.stopped_early() ? fmt::format("; stopped after {}\n", a.reached) : "\n";
    const int solid = fist::longest_solid(graded.text, a.right_at);
    out += fmt::format(
        "  longest row without a fault: {} counted characters, {:.1f} min at the "
        "speed sent\n",
        solid, fist::solid_minutes(solid, graded.grade.statistics.overall_wpm));
    return out;
}

std::string compared_key(const fist::KeyComparison& key) {
    std::string out = fmt::format(
        "\nKey against what was received, {} marks:\n"
        "  begins {:.1f} ms late (+- {:.1f}), ends {:.1f} ms late (+- {:.1f}): marks lose {:.1f} "
        "ms\n"
        "  lost altogether: {} of {} dots, {} of {} dashes\n",
        key.marks, 1e3 * key.rise.mean_s, 1e3 * key.rise.sd_s, 1e3 * key.fall.mean_s,
        1e3 * key.fall.sd_s, 1e3 * key.shortened.mean_s, key.dots_lost, key.dots, key.dashes_lost,
        key.dashes);
    if (!key.lost_at_s.empty()) {
        std::string times;
        for (std::size_t i = 0; i < std::min<std::size_t>(key.lost_at_s.size(), 20); ++i) {
            times += fmt::format("{}{:.2f}", i > 0 ? " " : "", key.lost_at_s[i]);
        }
        out += wrapped("  lost at (s) ", "    ", times);
    }
    if (key.not_keyed > 0) {
        out += fmt::format("  received, but not keyed: {}\n", key.not_keyed);
    }
    return out;
}

std::string score(const fist::Grade& grade) {
    std::string out = fmt::format(
        "\nScore {:.0f} of 100 (characters a listener reads right of 100 that he would "
        "read\nof machine sending):\n",
        grade.score.total);
    for (const fist::ScorePart& part : grade.score.parts) {
        out +=
            fmt::format("  {:<31} {:>5.1f} % kept; {:.2f} % misread (machine {:.2f} %)\n",
                        part.name, 100.0 * part.kept, 100.0 * part.misread, 100.0 * part.machine);
    }
    return out;
}

std::string rate(const GradedSending& graded) {
    const fist::Grade& grade = graded.grade;
    std::vector<std::optional<morse::Symbol>> sent = graded.text;
    if (sent.empty() || grade.alignment->stopped_early()) {
        std::string readable = grade.text();
        std::erase(readable, '_');
        auto symbols = morse::symbols_from_text(readable);
        if (!symbols) return "";
        sent = *symbols;
    }
    return fmt::format("{} counted characters, {:.1f} words a minute, {:.1f} groups a minute\n",
                       fist::counted_characters(sent),
                       fist::words_a_minute(fist::counted_characters(sent), grade.sent_s),
                       60.0 * fist::groups_of(sent) / std::max(1.0, grade.sent_s));
}

Json timing(const fist::Statistics& s, int marks) {
    Json out;
    const auto of = [&](ElementKind kind) -> const fist::LengthStatistics& { return s.of(kind); };
    out["dot_ms"] = ms(of(ElementKind::dot).mean_s);
    out["dash_ms"] = ms(of(ElementKind::dash).mean_s);
    out["element_gap_ms"] = ms(of(ElementKind::element_gap).mean_s);
    out["character_gap_ms"] = ms(of(ElementKind::character_gap).mean_s);
    out["word_gap_ms"] = ms(of(ElementKind::word_gap).mean_s);
    out["dash_to_dot"] = number(s.dash_to_dot, 3);
    out["dot_cv"] = number(of(ElementKind::dot).cv(), 4);
    out["dash_cv"] = number(of(ElementKind::dash).cv(), 4);
    out["element_gap_cv"] = number(of(ElementKind::element_gap).cv(), 4);
    out["character_gap_cv"] = number(of(ElementKind::character_gap).cv(), 4);
    out["word_gap_cv"] = number(of(ElementKind::word_gap).cv(), 4);
    out["weight"] = number(s.weight, 3);
    out["marks"] = marks;
    return out;
}

Json errors_of(const fist::Alignment& a) {
    Json out = Json::array();
    for (const fist::TextError& error : a.errors) {
        Json one = {{"kind", std::string(name_of(error.kind))},
                    {"at_s", number(error.at_s, 3)},
                    {"meant", error.meant},
                    {"sent", error.sent},
                    {"meant_at", error.meant_at}};
        if (error.corrected) one["corrected"] = true;
        out.push_back(std::move(one));
    }
    return out;
}

// One a mark or gap, in order of time: what a histogram and a picture of the rhythm are made of.
std::string keying_line(const fist::Grade& grade) {
    Json lengths = Json::array();
    for (const fist::SentLength& one : fist::sent_lengths(grade.keying, grade.sending)) {
        lengths.push_back({fist::name_of(one.kind), number(one.at_s, 4), ms(one.length_s)});
    }
    const Json line = {{"event", "keying"},
                       {"tone", 1},
                       {"unit_ms", number(1000.0 * grade.statistics.unit_s, 2)},
                       {"lengths", std::move(lengths)}};
    return line.dump() + "\n";
}

Json key_of(const fist::KeyComparison& key) {
    return {{"marks", key.marks},
            {"rise_late_ms", ms(key.rise.mean_s)},
            {"rise_late_sd_ms", ms(key.rise.sd_s)},
            {"fall_late_ms", ms(key.fall.mean_s)},
            {"fall_late_sd_ms", ms(key.fall.sd_s)},
            {"shortened_ms", ms(key.shortened.mean_s)},
            {"dots", key.dots},
            {"dots_lost", key.dots_lost},
            {"dashes", key.dashes},
            {"dashes_lost", key.dashes_lost},
            {"not_keyed", key.not_keyed},
            {"lost_at_s", key.lost_at_s}};
}

std::string tone_line(const fist::Grade& grade) {
    return fmt::format("Tone at {:.1f} Hz ({:+.1f} Hz/min), {:.1f} dB in 2500 Hz; {} sent of {}\n",
                       grade.pitch_hz, grade.pitch_drift_hz_per_min,
                       std::min(grade.keying.snr_2500hz_db, kMostSnrDb), clock_text(grade.sent_s),
                       clock_text(grade.seconds));
}

}  // namespace

std::string fist_text(const GradedSending& graded) {
    const fist::Grade& grade = graded.grade;
    std::string out = std::isfinite(grade.pitch_hz)
                          ? tone_line(grade)
                          : fmt::format("The key itself; {} sent of {}\n", clock_text(grade.sent_s),
                                        clock_text(grade.seconds));
    out += wrapped("Reads: ", "       ", grade.text()) + "\n";
    out += lengths(grade) + rate(graded) + rhythm(grade) + faults(grade);
    if (graded.key) out += compared_key(*graded.key);
    if (grade.alignment) out += against_text(graded);
    return out + score(grade);
}

std::string fist_json(const GradedSending& graded) {
    const fist::Grade& grade = graded.grade;
    const fist::Statistics& s = grade.statistics;
    Json out = {{"event", "summary"}, {"seconds", number(grade.seconds, 4)}};
    Json tone = {{"tone", 1},
                 {"pitch_hz", number(grade.pitch_hz, 2)},
                 {"pitch_drift_hz_per_min", number(grade.pitch_drift_hz_per_min, 3)},
                 {"snr_2500hz_db", number(grade.keying.snr_2500hz_db, 2)},
                 {"speed_wpm", number(s.character_wpm, 2)},
                 {"text", grade.text()},
                 {"mean_confidence", number(grade.certainty, 4)},
                 {"timing", timing(s, static_cast<int>(grade.keying.marks.size()))},
                 {"overall_wpm", number(s.overall_wpm, 2)},
                 {"drift_percent", number(s.drift_percent, 2)},
                 {"drift_percent_per_min", number(s.drift_percent_per_min, 2)},
                 {"rise_ms", ms(grade.keying.rise_s)},
                 {"fall_ms", ms(grade.keying.fall_s)}};
    for (const auto& [name, one] : s.rhythm) {
        Json units = Json::array();
        for (const double unit : one.units) units.push_back(number(unit, 2));
        tone["rhythm"][name] = {{"count", one.count},
                                {"units", std::move(units)},
                                {"off_standard", number(one.off_standard, 3)}};
    }
    out["tones"] = Json::array({std::move(tone)});
    out["faults"] = Json::array();
    for (const fist::Fault& fault : grade.faults) {
        out["faults"].push_back({{"kind", std::string(name_of(fault.kind))},
                                 {"at_s", number(fault.at_s, 3)},
                                 {"said", fault.said},
                                 {"advice", fault.advice},
                                 {"of_hand", is_of_hand(fault.kind)}});
    }
    out["score"] = number(grade.score.total, 1);
    for (const fist::ScorePart& part : grade.score.parts) {
        out["score_parts"].push_back({{"name", part.name},
                                      {"kept", number(part.kept, 4)},
                                      {"misread", number(part.misread, 5)},
                                      {"machine", number(part.machine, 5)}});
    }
    out["errors"] = grade.alignment ? errors_of(*grade.alignment) : Json(nullptr);
    if (grade.alignment) {
        const fist::Alignment& a = *grade.alignment;
        out["characters"] = {
            {"meant", a.meant},
            {"reached", a.reached},
            {"right", a.right},
            {"corrections", a.corrections},
            {"repeats", a.repeats},
            {"longest_solid_counted", fist::longest_solid(graded.text, a.right_at)}};
    }
    if (graded.key) out["key"] = key_of(*graded.key);
    return keying_line(grade) + out.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace skedlark::cli
