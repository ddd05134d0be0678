#include "cli/log_view.h"

#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "cli/bench_log.h"
#include "cli/card_view.h"
#include "cli/terminal.h"
#include "cli/text_view.h"

namespace skedlark::cli {

namespace {

using Json = nlohmann::ordered_json;

Json number(double value, int decimals) {
    if (!std::isfinite(value)) return nullptr;
    const double scale = std::pow(10.0, decimals);
    const double rounded = std::round(value * scale) / scale;
    return rounded == 0.0 ? 0.0 : rounded;
}

Json truth(const std::optional<bool>& value) { return value ? Json(*value) : Json(nullptr); }

std::string line_of(const Json& json) {
    return json.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string minute_text(UtcTime time) {
    const std::string text = utc_text(time);
    return text.substr(0, 10) + " " + text.substr(11, 5);
}

std::string shown(double value, int decimals, const char* unit) {
    return std::isfinite(value) ? fmt::format("{:.{}f}{}", value, decimals, unit) : "n/a";
}

// What a reader wants to see of an entry in one line.
std::string gist(const log::Entry& entry) {
    if (!entry.stations.empty() && !entry.stations.front().text.empty()) {
        return entry.stations.front().text;
    }
    const std::string words = entry.reason.empty() ? entry.note : entry.reason;
    const std::string test = log::bench_test_of(entry);
    if (test.empty()) return words;
    std::string sheet = test;
    for (const std::string& more : {entry.receiver, words}) {
        if (!more.empty()) sheet += ", " + more;
    }
    return sheet;
}

bool is_continuation(char c) { return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U; }

std::string csv_field(const std::string& text) {
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char c : text) quoted += c == '"' ? "\"\"" : std::string(1, c);
    return quoted + "\"";
}

std::string csv_number(double value) {
    return std::isfinite(value) ? fmt::format("{}", value) : "";
}

Json levels_json(const Stretch& stretch, const log::StretchLevels& levels) {
    return {{"from_s", number(stretch.from_s, 3)},
            {"to_s", number(stretch.to_s, 3)},
            {"heard_s", number(levels.seconds, 2)},
            {"signal_dbfs", number(levels.signal_dbfs.value_db, 2)},
            {"signal_95_db", number(levels.signal_dbfs.half_width_95_db, 2)},
            {"noise_2500hz_dbfs", number(levels.noise_dbfs.value_db, 2)},
            {"noise_95_db", number(levels.noise_dbfs.half_width_95_db, 2)},
            {"snr_2500hz_db", number(levels.snr_2500hz_db.value_db, 2)},
            {"snr_95_db", number(levels.snr_2500hz_db.half_width_95_db, 2)}};
}

std::string stretch_text(const Stretch& stretch) {
    return clock_text(stretch.from_s) + " to " + clock_text(stretch.to_s);
}

std::string levels_row(const char* name, const log::Level& first, const log::Level& second,
                       const log::Level& change) {
    const auto with_doubt = [](const log::Level& level) {
        return fmt::format("{:.1f} +-{:.1f}", level.value_db, level.half_width_95_db);
    };
    return fmt::format("{:<18}{:>16}{:>16}{:>14}  {}\n", name, with_doubt(first),
                       with_doubt(second),
                       fmt::format("{:+.1f} +-{:.1f}", change.value_db, change.half_width_95_db),
                       log::StretchComparison::is_clear(change) ? "clear" : "not clear");
}

}  // namespace

std::string cut_to(const std::string& text, std::size_t columns) {
    std::string line;
    std::size_t used = 0;
    std::size_t fits = 0;  // bytes that leave room for the dots
    for (std::size_t at = 0; at < text.size();) {
        std::size_t end = at + 1;
        while (end < text.size() && is_continuation(text[end])) ++end;
        if (used + 3 <= columns) fits = line.size();
        if (used == columns) return line.substr(0, fits) + "...";
        const bool control = static_cast<unsigned char>(text[at]) < 0x20;
        line += control ? " " : text.substr(at, end - at);
        ++used;
        at = end;
    }
    return line;
}

std::string entry_table(const std::vector<log::Entry>& entries) {
    std::string text = "   id  time (UTC)        kind      contact     result   what\n";
    for (const log::Entry& entry : entries) {
        const std::string left =
            fmt::format("{:>5}  {}  {:<8}  {:<10}  {:<7}  ", entry.id, minute_text(entry.started),
                        cut_to(entry.kind, 8), cut_to(entry.contact, 10), cut_to(entry.outcome, 7));
        text += left + cut_to(gist(entry), kPlainWidth - 57) + "\n";
    }
    return text;
}

std::string entry_text(const log::Entry& entry) {
    std::string text = fmt::format(
        "{} {} {} UTC, {}: {}\n", entry.kind, entry.id, minute_text(entry.started),
        std::isfinite(entry.seconds) ? clock_text(entry.seconds) : "n/a", entry.outcome);
    const std::pair<const char*, const std::string*> lines[] = {
        {"contact", &entry.contact}, {"who", &entry.who},           {"receiver", &entry.receiver},
        {"input", &entry.input},     {"kept as", &entry.recording}, {"reason", &entry.reason},
        {"note", &entry.note}};
    for (const auto& [label, value] : lines) {
        if (!value->empty()) text += wrapped(fmt::format("  {:<10}", label), *value, 12);
    }
    for (const log::HeardStation& heard : entry.stations) {
        const char* kind = !heard.keyed   ? "whether keyed is not known"
                           : *heard.keyed ? "keyed"
                                          : "not keyed";
        text += fmt::format("  tone {:<5}{}, {} in 2500 Hz, {}\n", heard.tone,
                            shown(heard.pitch_hz, 1, " Hz"), shown(heard.snr_2500hz_db, 1, " dB"),
                            kind);
        if (heard.text.empty()) continue;
        text += fmt::format("            {}, {} sure\n", shown(heard.speed_wpm, 1, " wpm"),
                            shown(100.0 * heard.confidence, 0, " %"));
        text += wrapped(std::string(12, ' '), heard.text, 12);
    }
    for (const log::Measurement& one : entry.measurements) {
        text += fmt::format("  {} = {}", one.name,
                            std::isfinite(one.value) ? fmt::format("{:.8g}", one.value) : "");
        if (std::isfinite(one.uncertainty_95)) text += fmt::format(" +-{:.3g}", one.uncertainty_95);
        if (std::isfinite(one.limit)) text += fmt::format(", limit {}", one.limit);
        if (one.pass) text += *one.pass ? ", pass" : ", fail";
        text += "\n";
    }
    return text;
}

std::string json_line(const log::Entry& entry) {
    Json stations = Json::array();
    for (const log::HeardStation& heard : entry.stations) {
        stations.push_back(
            {{"tone", heard.tone},
             {"pitch_hz", number(heard.pitch_hz, 2)},
             {"keyed", truth(heard.keyed)},
             {"snr_2500hz_db", number(heard.snr_2500hz_db, 2)},
             {"speed_wpm", number(heard.speed_wpm, 2)},
             {"mean_confidence", number(heard.confidence, 4)},
             {"false_alarm_odds",
              std::isfinite(heard.false_alarm_odds) ? Json(heard.false_alarm_odds) : Json(nullptr)},
             {"text", heard.text}});
    }
    Json measurements = Json::array();
    for (const log::Measurement& one : entry.measurements) {
        measurements.push_back({{"name", one.name},
                                {"value", number(one.value, 6)},
                                {"uncertainty_95", number(one.uncertainty_95, 6)},
                                {"limit", number(one.limit, 6)},
                                {"pass", truth(one.pass)}});
    }
    return line_of({{"event", "entry"},
                    {"id", entry.id},
                    {"kind", entry.kind},
                    {"started_utc", utc_text(entry.started)},
                    {"seconds", number(entry.seconds, 3)},
                    {"who", entry.who},
                    {"contact", entry.contact},
                    {"receiver", entry.receiver},
                    {"input", entry.input},
                    {"recording", entry.recording},
                    {"outcome", entry.outcome},
                    {"reason", entry.reason},
                    {"note", entry.note},
                    {"stations", stations},
                    {"measurements", measurements}});
}

std::string csv_of(const std::vector<log::Entry>& entries) {
    std::string csv =
        "id,kind,started_utc,seconds,who,contact,receiver,input,recording,outcome,reason,note,"
        "pitch_hz,snr_2500hz_db,speed_wpm,text\r\n";
    for (const log::Entry& entry : entries) {
        const log::HeardStation best =
            entry.stations.empty() ? log::HeardStation{} : entry.stations.front();
        csv += fmt::format("{},{},{},{}", entry.id, csv_field(entry.kind), utc_text(entry.started),
                           csv_number(entry.seconds));
        for (const std::string* field :
             {&entry.who, &entry.contact, &entry.receiver, &entry.input, &entry.recording,
              &entry.outcome, &entry.reason, &entry.note}) {
            csv += "," + csv_field(*field);
        }
        csv += fmt::format(",{},{},{},{}\r\n", csv_number(best.pitch_hz),
                           csv_number(best.snr_2500hz_db), csv_number(best.speed_wpm),
                           csv_field(best.text));
    }
    return csv;
}

std::string comparison_text(const ComparisonResult& result) {
    const log::StretchComparison& levels = result.levels;
    std::string text = fmt::format("{} at {:.1f} Hz; +- is 95 %\n", result.input, result.pitch_hz);
    text += fmt::format("{:<18}{:>16}{:>16}{:>14}\n", "", stretch_text(result.first),
                        stretch_text(result.second), "change");
    text += levels_row("signal dBFS", levels.before.signal_dbfs, levels.after.signal_dbfs,
                       levels.signal_change_db);
    text += levels_row("noise dBFS/2500 Hz", levels.before.noise_dbfs, levels.after.noise_dbfs,
                       levels.noise_change_db);
    text += levels_row("SNR dB in 2500 Hz", levels.before.snr_2500hz_db, levels.after.snr_2500hz_db,
                       levels.snr_change_db);
    return text;
}

std::string json_line(const ComparisonResult& result) {
    const log::StretchComparison& levels = result.levels;
    const auto change = [](const log::Level& level) {
        return Json{{"db", number(level.value_db, 2)},
                    {"half_width_95_db", number(level.half_width_95_db, 2)},
                    {"clear", log::StretchComparison::is_clear(level)}};
    };
    return line_of({{"event", "comparison"},
                    {"input", result.input},
                    {"pitch_hz", number(result.pitch_hz, 2)},
                    {"first", levels_json(result.first, levels.before)},
                    {"second", levels_json(result.second, levels.after)},
                    {"signal_change", change(levels.signal_change_db)},
                    {"noise_change", change(levels.noise_change_db)},
                    {"snr_change", change(levels.snr_change_db)}});
}

}  // namespace skedlark::cli
