#include "cli/drill_log.h"

#include <chrono>
#include <filesystem>
#include <string_view>

#include "cli/watch_log.h"
#include "dsp/log/log_book.h"

namespace skedlark::cli {

namespace {

constexpr std::string_view kSent = "sent_";
constexpr std::string_view kWrong = "wrong_";

// True where the entry has counts by character.
bool add_counts(const log::Entry& entry, std::map<std::string, fist::CharacterTally>& characters) {
    bool any = false;
    for (const log::Measurement& one : entry.measurements) {
        if (!(one.value >= 0.0)) continue;
        if (one.name.starts_with(kSent)) {
            characters[one.name.substr(kSent.size())].sent += one.value;
            any = true;
        } else if (one.name.starts_with(kWrong)) {
            characters[one.name.substr(kWrong.size())].wrong += one.value;
        }
    }
    return any;
}

}  // namespace

Result<EarlierExercises> earlier_exercises(const std::string& log_file, const std::string& who) {
    EarlierExercises out;
    const auto path = log_file.empty() ? default_log_path() : Result<std::string>(log_file);
    if (!path) return path.error();
    std::error_code ignored;
    if (!std::filesystem::exists(*path, ignored)) return out;
    const auto book = log::LogBook::open(*path, log::Access::read);
    if (!book) return book.error();
    log::Query query;
    query.kind = log::kPractice;
    query.who = who;
    const auto entries = book->find(query);
    if (!entries) return entries.error();
    // From the latest back; entries of sending have no such counts.
    for (auto entry = entries->rbegin(); entry != entries->rend(); ++entry) {
        out.exercises += add_counts(*entry, out.characters) ? 1 : 0;
        if (out.exercises == kExercisesBack) break;
    }
    return out;
}

Status keep_exercise(const std::string& log_file, const std::string& who,
                     const MarkedCopy& marked) {
    const fist::CopyScore& score = marked.score;
    log::Entry entry;
    entry.kind = log::kPractice;
    entry.started = std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
    entry.who = who;
    entry.input = whole_path(marked.sent_file);
    entry.outcome = score.right == score.sent && score.extra == 0 ? "right" : "errors";
    const auto add = [&](const std::string& name, double value) {
        log::Measurement one;
        one.name = name;
        one.value = value;
        entry.measurements.push_back(one);
    };
    add("copied_right_share", score.right_share());
    add("characters_sent", score.sent);
    add("characters_right", score.right);
    if (marked.speed_wpm) add("speed_wpm", *marked.speed_wpm);
    if (marked.next_wpm) add("next_wpm", *marked.next_wpm);
    for (const auto& [character, tally] : score.by_character) {
        add(std::string(kSent) + character, tally.sent);
        if (tally.wrong > 0.0) add(std::string(kWrong) + character, tally.wrong);
    }
    const auto path = log_path_for_writing(log_file);
    if (!path) return path.error();
    auto book = log::LogBook::open(*path, log::Access::write);
    if (!book) return book.error();
    if (const auto id = book->add(entry); !id) return id.error();
    return Done{};
}

}  // namespace skedlark::cli
