// skedlark fist: how well it was sent, and how to send it better.
#include <fmt/format.h>

#include <filesystem>
#include <memory>

#include "cli/fist_view.h"
#include "cli/meant_text.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/progress.h"
#include "cli/sources.h"
#include "cli/stop_signal.h"
#include "cli/text_view.h"
#include "cli/watch_log.h"
#include "dsp/core/units.h"
#include "dsp/fist/test_text.h"
#include "dsp/log/sending_entry.h"
#include "dsp/watch/watch.h"

namespace skedlark::cli {

namespace {

constexpr double kLongestS = 7200.0;

constexpr const char* kExample =
    "Example:\n"
    "  skedlark fist --text-file exercise.txt --who Ann practice.wav\n"
    "The loudest keyed tone is graded, or the one near --pitch. With the text that was meant,\n"
    "each error is named with its time. --key-channel takes the key line or sidetone recorded\n"
    "beside the tone and measures what the transmitter makes of each mark. With --live, Ctrl-C\n"
    "ends the sending. --who keeps the result in the log; skedlark log --kind fist --who Ann\n"
    "shows how it went from week to week.\n"
    "Exit status: 0 graded, and the text sent right; 1 the text was not sent right, or nothing\n"
    "keyed is in it; 2 cannot read an input; 3 cut short from outside.";

struct FistOptions {
    InputOptions input;
    double pitch_hz = 0.0;
    double speed_wpm = 0.0;
    std::string text_file;
    bool test = false;
    std::string who;
    std::string log_file;
    int key_channel = 0;  // 0: none
    bool json = false;
};

struct Heard {
    std::vector<float> audio;
    std::vector<fist::LostStretch> lost;
    std::optional<Error> failure;  // after what was had
};

// All of a source. quiet: no progress is shown.
Heard read_all(audio::WorkRateSource& source, bool quiet) {
    Heard out;
    const StopOnSignal stopping(source);
    Progress progress(Progress::Clock::now());
    const bool shows = !quiet && terminal_at(2).can_redraw;
    Output side(2);
    bool shown = false;
    std::vector<float> block(static_cast<std::size_t>(kWorkRateHz));
    const auto most = static_cast<std::size_t>(kLongestS * kWorkRateHz);
    std::optional<double> total_s;
    if (const auto frames = source.total_frames()) total_s = seconds_from_frames(*frames);
    while (out.audio.size() < most) {
        const auto read = source.read(block);
        if (!read) {
            out.failure = read.error();
            break;
        }
        const auto from = static_cast<FrameIndex>(out.audio.size());
        out.audio.insert(out.audio.end(), block.begin(), block.begin() + read->frames);
        if (read->lost && read->frames > 0) out.lost.push_back({from, from + read->frames});
        if (read->end || (!source.is_live() && source.stop_requested())) break;
        if (!shows) continue;
        const double done_s = static_cast<double>(out.audio.size()) / kWorkRateHz;
        if (const auto line = progress.line(done_s, total_s, Progress::Clock::now())) {
            side.write("\r" + *line + "\x1b[K");
            side.flush();
            shown = true;
        }
    }
    if (shown) {
        side.write("\r\x1b[K");
        side.flush();
    }
    return out;
}

Status check(const FistOptions& options) {
    if (Status status = check_input_options(options.input); !status) return status;
    if (options.key_channel == 0) return Done{};
    const bool is_file = !options.input.live && options.input.raw_rate_hz <= 0.0 &&
                         std::find(options.input.files.begin(), options.input.files.end(), "-") ==
                             options.input.files.end();
    if (!is_file) {
        return Error{ErrorCode::invalid_value,
                     "--key-channel: is for sound files with two channels or more, not for - , "
                     "--raw or --live"};
    }
    if (options.input.channel == "mix" ||
        options.input.channel == std::to_string(options.key_channel)) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("--key-channel: {} is the channel that is listened to; choose "
                                 "another one, or --channel",
                                 options.key_channel)};
    }
    return Done{};
}

// The key's own channel against what was received.
Result<fist::KeyComparison> compare(const FistOptions& options, const std::string& file,
                                    const fist::Keying& received) {
    InputOptions input = options.input;
    input.channel = std::to_string(options.key_channel);
    auto open = open_input(input, file, {});
    if (!open) return open.error();
    const Heard heard = read_all(*open->source, true);
    if (heard.failure) return *heard.failure;
    const auto marks = fist::key_marks(heard.audio);
    if (!marks) {
        return Error{marks.error().code, fmt::format("{}: {} (--key-channel {})", file,
                                                     marks.error().message, options.key_channel)};
    }
    return fist::compare_key(*marks, received);
}

void log_practice(const FistOptions& options, const InputLine& input,
                  const std::vector<std::optional<morse::Symbol>>& text, const fist::Grade& grade) {
    log::SendingFacts facts;
    facts.started = input.utc.value_or(
        std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now()));
    facts.who = options.who;
    facts.input = options.input.live ? input.name : whole_path(input.name);
    const log::Entry entry = log::sending_entry(grade, text, facts);
    const auto path = log_path_for_writing(options.log_file);
    auto book =
        path ? log::LogBook::open(*path, log::Access::write) : Result<log::LogBook>(path.error());
    const auto id = book ? book->add(entry) : Result<std::int64_t>(book.error());
    if (!id) print_error("fist", "graded, but not logged: " + id.error().message);
}

ExitStatus fail(const Error& error) {
    print_error("fist", error.message);
    return exit_status(error.code);
}

// One input from reading to what is said of it.
ExitStatus grade_one(const FistOptions& options, const std::string& file,
                     const std::vector<std::optional<morse::Symbol>>& text, bool several,
                     Output& out) {
    auto input = open_input(options.input, file, {});
    if (!input) return fail(input.error());
    if (options.json) out.write(json_line(input->line));
    if (several && !options.json) out.write(input->line.name + ":\n");
    Heard heard = read_all(*input->source, options.json);
    if (heard.failure) print_error("fist", heard.failure->message);
    fist::GradeOptions how;
    if (options.pitch_hz > 0.0) how.pitch_hz = options.pitch_hz;
    if (options.speed_wpm > 0.0) how.speed_wpm = options.speed_wpm;
    how.text = text;
    how.lost = std::move(heard.lost);
    auto grade = fist::grade(heard.audio, how);
    if (!grade) {
        out.flush();
        print_error("fist", fmt::format("{}: {}", input->line.name, grade.error().message));
        return heard.failure ? exit_status(heard.failure->code) : kAnswerNo;
    }
    GradedSending graded{std::move(*grade), text, {}};
    for (const fist::HeardTone& other : graded.grade.others) {
        const std::string said = fmt::format(
            "another sender is at {:.0f} Hz ({:.0f} dB); the one at {:.0f} Hz is "
            "graded, --pitch {:.0f} chooses the other",
            other.pitch_hz, other.snr_2500hz_db, graded.grade.pitch_hz, other.pitch_hz);
        if (options.json) {
            out.write(json_line(Event(NoteEvent{0, said}), input->line.utc));
        } else {
            print_error("fist", said);
        }
    }
    std::optional<Error> key_failure;
    if (options.key_channel > 0) {
        const auto key = compare(options, file, graded.grade.keying);
        if (key) {
            graded.key = *key;
        } else {
            key_failure = key.error();
        }
    }
    out.write(options.json ? fist_json(graded) : fist_text(graded));
    out.flush();
    if (!options.who.empty()) log_practice(options, input->line, text, graded.grade);
    if (key_failure) return fail(Error{ErrorCode::unreadable, key_failure->message});
    if (heard.failure) return exit_status(heard.failure->code);
    if (stop_signal_seen() && !options.input.live) return kCutShort;
    return graded.grade.right() ? kDone : kAnswerNo;
}

ExitStatus run_fist(const FistOptions& options) {
    if (const Status status = check(options); !status) return fail(status.error());
    std::vector<std::optional<morse::Symbol>> text;
    if (!options.text_file.empty()) {
        auto read = meant_text(options.text_file);
        if (!read) return fail(read.error());
        text = std::move(*read);
    }
    if (options.test) text = *morse::symbols_from_text(fist::kTestText);
    Output out(1);
    ExitStatus all = kAnswerNo;
    if (options.input.live) {
        all = grade_one(options, "", text, false, out);
    } else {
        bool first = true;
        for (const std::string& file : options.input.files) {
            const ExitStatus one =
                grade_one(options, file, text, options.input.files.size() > 1, out);
            // A text not sent right is a no for all of them.
            const bool no = one == kAnswerNo || (!first && all == kAnswerNo);
            all = first ? one : worse(all, one);
            if (all == kDone && no) all = kAnswerNo;
            first = false;
            if (stop_signal_seen() || out.failure()) break;
        }
    }
    if (out.flush()) return all;
    print_error("fist", out.failure()->message);
    return out.failure()->status;
}

}  // namespace

void add_fist(CLI::App& program, Run& chosen) {
    auto options = std::make_shared<FistOptions>();
    CLI::App* verb = program.add_subcommand("fist", "How well it was sent, and how to send better");
    add_input_options(*verb, options->input);
    verb->add_option("--pitch", options->pitch_hz,
                     "The tone nearest to this pitch; without it, the loudest keyed one")
        ->type_name("HZ")
        ->check(number_within({watch::kMinPitchHz, watch::kMaxPitchHz, "Hz"}));
    verb->add_option("--wpm", options->speed_wpm, "Speed, where it is known, to within a third")
        ->type_name("N")
        ->check(number_within({kMinSpeedWpm, kMaxSpeedWpm, "wpm"}));
    CLI::Option* text =
        verb->add_option("--text-file", options->text_file, "The text that was meant, UTF-8")
            ->type_name("FILE");
    verb->add_flag("--test", options->test,
                   "The fixed test text was meant (skedlark drill --kind test prints it)")
        ->excludes(text);
    verb->add_option("--key-channel", options->key_channel,
                     "Channel with the key line or sidetone, beside the received tone")
        ->type_name("N")
        ->check(number_within({1.0, 64.0, ""}, true));
    CLI::Option* who = verb->add_option("--who", options->who, "Keep the result in the log for")
                           ->type_name("NAME");
    add_log_file_option(*verb, options->log_file)->needs(who);
    verb->add_flag("--json", options->json, "The result as JSON Lines");
    verb->footer(kExample);
    verb->callback([options, &chosen] { chosen = [options] { return run_fist(*options); }; });
}

}  // namespace skedlark::cli
