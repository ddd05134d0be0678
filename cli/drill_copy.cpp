// Copying: what was typed against what was sent; audio played and the answer asked for.
#include <fmt/format.h>

#include <chrono>
#include <iostream>
#include <thread>

#include "cli/drill.h"
#include "cli/drill_log.h"
#include "cli/meant_text.h"
#include "cli/watch_log.h"
#include "dsp/audio/player.h"
#include "dsp/morse/code_table.h"
#include "dsp/synth/scene.h"

namespace skedlark::cli {

namespace {

using std::chrono::steady_clock;
constexpr auto kLongestOpening = std::chrono::seconds(5);

Result<std::vector<std::string>> scored(const std::string& path, bool open_marks) {
    const auto text = code_text(path, open_marks);
    if (!text) return text.error();
    auto symbols = morse::scoring_symbols(*text);
    if (!symbols) return Error{symbols.error().code, path + ": " + symbols.error().message};
    if (symbols->size() > fist::kLongestCopy) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{}: {} characters; allowed are up to {}", path, symbols->size(),
                                 fist::kLongestCopy)};
    }
    return symbols;
}

// Lines up to an empty one after the first word, or to the end.
std::string typed_lines() {
    std::string text;
    for (std::string line; std::getline(std::cin, line);) {
        const bool empty = line.find_first_not_of(" \t\r") == std::string::npos;
        if (empty && !text.empty()) break;
        if (!empty) text += (text.empty() ? "" : " ") + line;
        if (text.size() > 4 * fist::kLongestCopy) break;
    }
    return text;
}

Status wait_until_playing(const audio::LiveOutput& output) {
    const auto until = steady_clock::now() + kLongestOpening;
    while (!output.is_playing()) {
        if (const Status status = output.status(); !status) return status;
        if (steady_clock::now() > until) {
            return Error{ErrorCode::unreadable, "the sound output does not begin to play"};
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
    }
    return Done{};
}

}  // namespace

ExitStatus mark_copy(const DrillOptions& options, CopyTask task) {
    auto score = fist::copy_score(task.sent, task.typed);
    if (!score) return fail_drill(score.error());
    const int of = score->sent + score->extra;
    MarkedCopy marked;
    marked.answer = task.answer;
    marked.sent_file = task.sent_file;
    log::CopyFacts facts{utc_now(), options.who, whole_path(task.sent_file), {}, {}, task.level};
    if (task.level) {
        // By all that is known of the person; of somebody unknown by this one alone.
        task.record.levels.push_back({*task.level, score->right, of});
        const double next = fist::next_level(task.record.levels);
        marked.level = task.level;
        marked.next_level = next;
        marked.speed_wpm = facts.speed_wpm = fist::speed_of_level(*task.level);
        marked.next_wpm = facts.next_wpm = fist::speed_of_level(next);
        marked.speed_ratio = next / *task.level;
        marked.next_groups_a_minute = fist::groups_a_minute(task.sent, *marked.next_wpm);
    } else {
        // What would be taken next after one in the middle.
        marked.speed_ratio = fist::next_speed_wpm(kDefaultWpm, score->right, of) / kDefaultWpm;
    }
    const bool enough = score->right_share() >= fist::kWantedRight;
    const log::Entry entry = log::copy_entry(*score, facts);
    marked.score = std::move(*score);
    Output out(1);
    out.write(options.json ? json_line(marked) : marked_text(marked));
    const ExitStatus status = deliver(out, enough ? kDone : kAnswerNo);
    if (!options.who.empty()) {
        if (const Status kept = keep_exercise(options.log_file, entry); !kept) {
            print_error("drill", "marked, but not logged: " + kept.error().message);
        }
    }
    return status;
}

ExitStatus mark_answer(const DrillOptions& options) {
    CopyTask task;
    task.answer = options.answer;
    task.sent_file = options.sent;
    auto sent = scored(options.sent, false);
    if (!sent) return fail_drill(sent.error());
    task.sent = std::move(*sent);
    auto typed = scored(options.answer, true);
    if (!typed) return fail_drill(typed.error());
    task.typed = std::move(*typed);
    task.level = options.level;
    if (options.speed_wpm) task.level = fist::level_of_speed(*options.speed_wpm);
    if (!options.who.empty()) {
        if (auto record = earlier_exercises(options.log_file, options.who)) {
            task.record = std::move(*record);
        }
    }
    return mark_copy(options, std::move(task));
}

ExitStatus play_and_ask(const DrillOptions& options) {
    Output side(2);
    auto made = new_exercise(options, true, side);
    if (!made) return fail_drill(made.error());
    fist::DrillConditions conditions = options.conditions;
    conditions.pace = made->pace;
    conditions.loudness_dbfs = std::min(options.volume_dbfs, options.limit_dbfs);
    const auto config = fist::drill_scene(made->exercise.text, conditions, made->exercise.seed);
    if (!config) return fail_drill(config.error());
    auto scene = synth::SceneStream::create(*config);
    if (!scene) return fail_drill(scene.error());
    auto output = audio::LiveOutput::create(
        {.device = options.output_device, .limit_dbfs = options.limit_dbfs});
    if (!output) return fail_drill(output.error());
    if (const Status playing = wait_until_playing(**output); !playing) {
        return fail_drill(playing.error());
    }
    side.write(
        fmt::format("-- {:.1f} groups a minute, characters at {:.1f} wpm, {:.0f} s. Type what you "
                    "hear, or\n"
                    "-- afterwards from paper; _ for what you missed. An empty line ends it.\n",
                    made->level, made->pace.character_wpm,
                    static_cast<double>(scene->length_frames()) / fist::kDrillRateHz));
    side.flush();
    std::string typed;
    {
        audio::Player player(**output, [&](std::span<float> piece) { return scene->read(piece); });
        typed = typed_lines();
        // An answer that is there at once (a pipe) does not cut the sound off.
        while (std::cin.eof() && !player.is_done()) {
            std::this_thread::sleep_for(std::chrono::milliseconds(20));
        }
    }
    CopyTask task;
    task.answer = "-";
    const auto sent = morse::scoring_symbols(made->exercise.text);
    const auto symbols = morse::scoring_symbols(typed);
    if (!symbols) return fail_drill({symbols.error().code, "typed: " + symbols.error().message});
    if (!sent) return fail_drill(sent.error());
    if (symbols->empty()) {
        side.write("-- nothing was typed: nothing is marked. It was:\n");
        side.write(exercise_lines(made->exercise.text));
        side.flush();
        return kAnswerNo;
    }
    task.sent = *sent;
    task.typed = *symbols;
    task.level = made->level;
    task.record = std::move(made->record);
    return mark_copy(options, std::move(task));
}

}  // namespace skedlark::cli
