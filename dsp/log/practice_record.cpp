#include "dsp/log/practice_record.h"

#include <algorithm>
#include <cmath>
#include <string_view>

namespace skedlark::log {

namespace {

constexpr std::string_view kSent = "sent_";
constexpr std::string_view kWrong = "wrong_";
constexpr std::string_view kTook = "took_";
constexpr std::string_view kKeyed = "keyed_";
constexpr std::string_view kFaulty = "faulty_";

// "" where the name does not begin so.
std::string after(const std::string& name, std::string_view lead) {
    return name.starts_with(lead) ? name.substr(lead.size()) : std::string();
}

struct Read {
    std::map<std::string, fist::CharacterTally> copied, sent;
    std::map<std::pair<std::string, std::string>, int> pairs;
    double level = kNotMeasured, right = 0.0, of = 0.0;
    bool any_faulty = false;
};

void read_pair(const std::string& names, double count, Read& read) {
    // Symbols have no "_" in their names.
    const std::size_t cut = names.find('_');
    if (cut == std::string::npos || cut == 0 || cut + 1 == names.size()) return;
    read.pairs[{names.substr(0, cut), names.substr(cut + 1)}] += static_cast<int>(count);
}

Read read_entry(const Entry& entry) {
    Read read;
    for (const Measurement& one : entry.measurements) {
        if (!(one.value >= 0.0)) continue;
        const auto takes = [&](std::string_view lead) { return after(one.name, lead); };
        if (const auto name = takes(kSent); !name.empty()) read.copied[name].sent += one.value;
        if (const auto name = takes(kWrong); !name.empty()) read.copied[name].wrong += one.value;
        if (const auto name = takes(kKeyed); !name.empty()) read.sent[name].sent += one.value;
        if (const auto name = takes(kFaulty); !name.empty()) {
            read.sent[name].wrong += one.value;
            read.any_faulty = true;
        }
        if (const auto names = takes(kTook); !names.empty()) read_pair(names, one.value, read);
        if (one.name == "groups_a_minute") read.level = one.value;
        if (one.name == "characters_right") read.right = one.value;
        if (one.name == "characters_sent" || one.name == "extra") read.of += one.value;
    }
    return read;
}

void add_to(std::map<std::string, fist::CharacterTally>& sum,
            const std::map<std::string, fist::CharacterTally>& more) {
    for (const auto& [name, tally] : more) {
        sum[name].sent += tally.sent;
        sum[name].wrong += tally.wrong;
    }
}

}  // namespace

Entry copy_entry(const fist::CopyScore& score, const CopyFacts& facts) {
    Entry entry;
    entry.kind = kPractice;
    entry.started = facts.started;
    entry.who = facts.who;
    entry.input = facts.input;
    entry.outcome = score.right == score.sent && score.extra == 0 ? "right" : "errors";
    const auto add = [&](const std::string& name, double value) {
        Measurement one;
        one.name = name;
        one.value = value;
        entry.measurements.push_back(one);
    };
    add("copied_right_share", score.right_share());
    add("characters_sent", score.sent);
    add("characters_right", score.right);
    if (score.extra > 0) add("extra", score.extra);
    if (facts.speed_wpm) add("speed_wpm", *facts.speed_wpm);
    if (facts.next_wpm) add("next_wpm", *facts.next_wpm);
    if (facts.groups_a_minute) add("groups_a_minute", *facts.groups_a_minute);
    for (const auto& [character, tally] : score.by_character) {
        add(std::string(kSent) + character, tally.sent);
        if (tally.wrong > 0.0) add(std::string(kWrong) + character, tally.wrong);
    }
    for (const fist::ConfusionPair& pair : score.pairs) {
        add(std::string(kTook) + pair.sent + "_" + pair.typed, pair.count);
    }
    return entry;
}

PracticeRecord practice_record(std::span<const Entry> entries) {
    PracticeRecord out;
    std::map<std::pair<std::string, std::string>, int> pairs;
    for (auto entry = entries.rbegin(); entry != entries.rend(); ++entry) {
        if (entry->kind != kPractice) continue;
        const Read read = read_entry(*entry);
        if (!read.copied.empty() && out.copied < kExercisesBack) {
            ++out.copied;
            add_to(out.copied_characters, read.copied);
            for (const auto& [names, count] : read.pairs) pairs[names] += count;
            if (read.level > 0.0) {
                out.levels.push_back(
                    {read.level, static_cast<int>(read.right), static_cast<int>(read.of)});
            }
        }
        // Without the text nothing is known of what was wrong.
        if (read.any_faulty && out.sent < kExercisesBack) {
            ++out.sent;
            add_to(out.sent_characters, read.sent);
        }
    }
    std::reverse(out.levels.begin(), out.levels.end());
    for (const auto& [names, count] : pairs)
        out.pairs.push_back({names.first, names.second, count});
    std::stable_sort(out.pairs.begin(), out.pairs.end(),
                     [](const auto& a, const auto& b) { return a.count > b.count; });
    return out;
}

fist::DrillWeights PracticeRecord::weights_to_copy() const {
    return fist::weights_from(copied_characters, pairs);
}

fist::DrillWeights PracticeRecord::weights_to_send() const {
    auto both = sent_characters;
    add_to(both, copied_characters);
    return fist::weights_from(both);
}

}  // namespace skedlark::log
