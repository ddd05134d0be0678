#include "dsp/log/sending_entry.h"

#include <algorithm>
#include <cmath>

#include "dsp/fist/test_text.h"
#include "dsp/morse/code_text.h"

namespace skedlark::log {

namespace {

using morse::ElementKind;

constexpr std::string_view kKeyed = "keyed_";
constexpr std::string_view kFaulty = "faulty_";
constexpr std::string_view kOff = "off_";

void add(Entry& entry, std::string name, double value) {
    Measurement one;
    one.name = std::move(name);
    one.value = value;
    entry.measurements.push_back(std::move(one));
}

// "[AR]" of the statistics is "+" here, as everywhere where characters are counted.
std::string counted_name(const std::string& written) {
    const bool procedure = written.size() > 2 && written.front() == '[';
    const auto* symbol = morse::find_by_text(
        procedure ? std::string_view(written).substr(1, written.size() - 2) : written, procedure);
    return symbol == nullptr ? written : morse::scoring_name(*symbol);
}

KeyedCharacters characters_of(const fist::Grade& grade,
                              std::span<const std::optional<morse::Symbol>> text) {
    KeyedCharacters out;
    for (const auto& [written, rhythm] : grade.statistics.rhythm) {
        KeyedCharacter& one = out[counted_name(written)];
        const double before = std::isfinite(one.off_standard) ? one.off_standard : 0.0;
        const double count = one.keyed + rhythm.count;
        one.off_standard = std::sqrt((one.keyed * before * before +
                                      rhythm.count * rhythm.off_standard * rhythm.off_standard) /
                                     count);
        one.keyed = count;
    }
    if (!grade.alignment) return out;
    // With the text, what was to be sent counts, whether it can be told or not.
    for (auto& [name, one] : out) one.keyed = 0.0;
    std::size_t at = 0;
    for (const auto& symbol : text) {
        if (!symbol) continue;
        if (at >= grade.alignment->reached || at >= grade.alignment->right_at.size()) break;
        KeyedCharacter& one = out[morse::scoring_name(*symbol)];
        one.keyed += 1.0;
        one.faulty += grade.alignment->right_at[at] != 0 ? 0.0 : 1.0;
        one.with_text = true;
        ++at;
    }
    std::erase_if(out, [](const auto& one) { return one.second.keyed <= 0.0; });
    return out;
}

}  // namespace

Entry sending_entry(const fist::Grade& grade, std::span<const std::optional<morse::Symbol>> text,
                    const SendingFacts& facts) {
    Entry entry;
    entry.kind = kPractice;
    entry.started = facts.started;
    entry.seconds = grade.seconds;
    entry.who = facts.who;
    entry.input = facts.input;
    entry.recording = facts.recording;
    entry.outcome = grade.right() ? "right" : "errors";
    entry.stations.push_back({1, grade.pitch_hz, true, grade.keying.snr_2500hz_db,
                              grade.statistics.character_wpm, grade.certainty, kNotMeasured,
                              grade.text()});
    const fist::Statistics& s = grade.statistics;
    add(entry, "score", grade.score.total);
    add(entry, "overall_wpm", s.overall_wpm);
    add(entry, "dash_to_dot", s.dash_to_dot);
    add(entry, "dot_cv", s.of(ElementKind::dot).cv());
    add(entry, "dash_cv", s.of(ElementKind::dash).cv());
    add(entry, "element_gap_cv", s.of(ElementKind::element_gap).cv());
    add(entry, "character_gap_cv", s.of(ElementKind::character_gap).cv());
    for (const fist::Fault& fault : grade.faults) {
        add(entry, "fault_" + std::string(name_of(fault.kind)), 1.0);
    }
    if (grade.alignment) {
        add(entry, "characters_meant", static_cast<double>(grade.alignment->meant));
        add(entry, "characters_right", static_cast<double>(grade.alignment->right));
    }
    if (fist::is_test_text(text)) add(entry, "fixed_test", 1.0);
    for (const auto& [name, one] : characters_of(grade, text)) {
        add(entry, std::string(kKeyed) + name, one.keyed);
        if (one.with_text) add(entry, std::string(kFaulty) + name, one.faulty);
        if (std::isfinite(one.off_standard)) add(entry, std::string(kOff) + name, one.off_standard);
    }
    return entry;
}

double measured(const Entry& entry, std::string_view name) {
    for (const Measurement& one : entry.measurements) {
        if (one.name == name) return one.value;
    }
    return kNotMeasured;
}

bool is_sending(const Entry& entry) {
    return entry.kind == kPractice && std::isfinite(measured(entry, "score"));
}

KeyedCharacters keyed_characters(const Entry& entry) {
    KeyedCharacters out;
    const auto after = [](const std::string& name, std::string_view lead) {
        return name.starts_with(lead) ? name.substr(lead.size()) : std::string();
    };
    for (const Measurement& one : entry.measurements) {
        if (!(one.value >= 0.0)) continue;
        if (const auto name = after(one.name, kKeyed); !name.empty()) out[name].keyed = one.value;
        if (const auto name = after(one.name, kFaulty); !name.empty()) {
            out[name].faulty = one.value;
            out[name].with_text = true;
        }
        if (const auto name = after(one.name, kOff); !name.empty()) {
            out[name].off_standard = one.value;
        }
    }
    std::erase_if(out, [](const auto& one) { return one.second.keyed <= 0.0; });
    return out;
}

}  // namespace skedlark::log
