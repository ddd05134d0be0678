// skedlark drill: text to send, audio to copy, and the marks of what was copied.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <memory>
#include <random>

#include "cli/drill_log.h"
#include "cli/drill_view.h"
#include "cli/meant_text.h"
#include "cli/new_file.h"
#include "cli/options.h"
#include "cli/output.h"
#include "cli/watch_log.h"
#include "dsp/audio/segment_file.h"
#include "dsp/core/units.h"
#include "dsp/fist/drill_text.h"
#include "dsp/morse/code_table.h"
#include "dsp/synth/channel.h"
#include "dsp/synth/fist.h"
#include "dsp/synth/scene.h"

namespace skedlark::cli {

namespace {

constexpr double kRateHz = 8000.0;
// Tone and noise together stay about so loud at any SNR, so that nothing clips.
constexpr double kLoudnessDbfs = -20.0;
constexpr double kDefaultWpm = 12.0;

constexpr const char* kExample =
    "To send:\n"
    "  skedlark drill --kind groups --count 10 > exercise.txt\n"
    "  skedlark fist --text-file exercise.txt --who Ann practice.wav\n"
    "prints a text to send; fist then grades a recording of it.\n"
    "To copy:\n"
    "  skedlark drill --kind calls --wpm 14 --snr-2500hz 3 --out ex.wav --who Ann\n"
    "  skedlark drill --answer typed.txt --sent ex.wav.txt --wpm 14 --who Ann\n"
    "keys a text that is not shown (it is in ex.wav.txt), and marks what was typed;\n"
    "_ stands for a character that was not copied. With --who the marks are kept in\n"
    "the log (skedlark log --kind practice), and the next text has more of what this\n"
    "person gets wrong.\n"
    "Caution: begin with the headphones turned low.\n"
    "Exit status: 0 done, and nine in ten right or more; 1 fewer were right; 2 cannot\n"
    "do it.";

struct DrillOptions {
    std::string kind = "groups";
    int count = 10;
    std::optional<std::uint64_t> seed;
    std::string out;
    std::optional<double> speed_wpm;
    std::optional<double> snr_2500hz_db;
    std::string fading;
    std::string fist = "machine";
    double pitch_hz = 700.0;
    std::string answer;
    std::string sent;
    std::string who;
    std::string log_file;
    bool json = false;
};

ExitStatus fail(const Error& error) {
    print_error("drill", error.message);
    return exit_status(error.code);
}

ExitStatus deliver(Output& out, ExitStatus status) {
    if (out.flush()) return status;
    print_error("drill", out.failure()->message);
    return out.failure()->status;
}

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

ExitStatus mark(const DrillOptions& options) {
    const auto sent = scored(options.sent, false);
    if (!sent) return fail(sent.error());
    const auto typed = scored(options.answer, true);
    if (!typed) return fail(typed.error());
    auto score = fist::copy_score(*sent, *typed);
    if (!score) return fail(score.error());
    MarkedCopy marked;
    marked.answer = options.answer;
    marked.sent_file = options.sent;
    const int of = score->sent + score->extra;
    // Where the speed is not told, what would be taken next after one in the middle.
    const double speed_wpm = options.speed_wpm.value_or(kDefaultWpm);
    const double next_wpm = fist::next_speed_wpm(speed_wpm, score->right, of);
    marked.speed_ratio = next_wpm / speed_wpm;
    if (options.speed_wpm) {
        marked.speed_wpm = speed_wpm;
        marked.next_wpm = next_wpm;
        marked.next_groups_a_minute = fist::groups_a_minute(*sent, next_wpm);
    }
    const bool enough = score->right_share() >= fist::kWantedRight;
    marked.score = std::move(*score);
    Output out(1);
    out.write(options.json ? json_line(marked) : marked_text(marked));
    const ExitStatus status = deliver(out, enough ? kDone : kAnswerNo);
    if (!options.who.empty()) {
        if (const Status kept = keep_exercise(options.log_file, options.who, marked); !kept) {
            print_error("drill", "marked, but not logged: " + kept.error().message);
        }
    }
    return status;
}

Result<synth::SceneConfig> scene_of(const DrillOptions& options, const std::string& text,
                                    double speed_wpm, std::uint64_t seed) {
    const auto hand = synth::fist_by_name(options.fist);
    if (!hand) return hand.error();
    auto scene = synth::one_text(text, speed_wpm, *hand, options.snr_2500hz_db, seed);
    scene.sample_rate_hz = kRateHz;
    scene.beat.pitch_hz = options.pitch_hz;
    scene.level_dbfs = kLoudnessDbfs;
    if (options.snr_2500hz_db) {
        const double noise =
            std::pow(10.0, -*options.snr_2500hz_db / 10.0) * kRateHz / 2.0 / 2500.0;
        scene.level_dbfs -= 10.0 * std::log10(1.0 + noise);
    }
    if (!options.fading.empty()) {
        const auto channel = synth::channel_by_name(options.fading);
        if (!channel) return channel.error();
        scene.wanted.channel = *channel;
    }
    return scene;
}

Status key_audio(synth::SceneStream& scene, audio::SegmentFile& file) {
    std::vector<float> block(16384);
    while (const std::size_t frames = scene.read(block)) {
        if (Status status = file.append(std::span(block).first(frames)); !status) return status;
    }
    return file.finish();
}

// The text goes into a file of its own; neither it nor the audio overwrites one.
Status write_exercise(const DrillOptions& options, const Exercise& exercise) {
    audio::SegmentFormat format;
    format.rate_hz = static_cast<int>(kRateHz);
    const std::string ending = std::filesystem::path(options.out).extension();
    if (ending != ".wav" && ending != ".flac") {
        return Error{ErrorCode::invalid_value,
                     fmt::format("--out: '{}' must end in .wav or .flac", options.out)};
    }
    format.format = ending == ".wav" ? audio::RecordingFormat::wav : audio::RecordingFormat::flac;
    std::error_code ignored;
    if (std::filesystem::exists(exercise.text_file, ignored)) {
        return Error{ErrorCode::write_failed,
                     exercise.text_file + ": is there already and is not overwritten"};
    }
    const auto config = scene_of(options, exercise.text, exercise.speed_wpm, exercise.seed);
    if (!config) return config.error();
    auto scene = synth::SceneStream::create(*config);
    if (!scene) return scene.error();
    auto file = audio::SegmentFile::create(options.out, format);
    if (!file) return file.error();
    if (Status status = write_whole_file(exercise.text_file, exercise_lines(exercise.text));
        !status) {
        return status;
    }
    return key_audio(*scene, **file);
}

// Characters that come more often, most of all first.
std::string said_of(const EarlierExercises& earlier, const std::string& who,
                    const fist::DrillWeights& weights) {
    std::vector<std::pair<double, std::string>> more;
    for (const auto& [character, weight] : weights) {
        if (weight > 1.0) more.emplace_back(-weight, character);
    }
    std::sort(more.begin(), more.end());
    std::string list;
    for (std::size_t i = 0; i < std::min<std::size_t>(more.size(), 8); ++i) {
        list += " " + more[i].second;
    }
    return fmt::format("-- {} earlier exercises of {}; more of:{}\n", earlier.exercises, who,
                       list.empty() ? " nothing" : list);
}

ExitStatus give_text(const DrillOptions& options) {
    fist::DrillWeights weights;
    Exercise exercise;
    Output side(2);
    if (!options.who.empty()) {
        const auto earlier = earlier_exercises(options.log_file, options.who);
        if (!earlier) {
            print_error("drill", "all characters alike: " + earlier.error().message);
        } else if (earlier->exercises > 0) {
            weights = fist::weights_from(earlier->characters);
            exercise.earlier = earlier->exercises;
            side.write(said_of(*earlier, options.who, weights));
        }
    }
    exercise.kind = options.kind;
    exercise.count = options.count;
    // 53 bits, so that every reader of JSON keeps it whole.
    exercise.seed = options.seed.value_or(
        (std::uint64_t{std::random_device{}()} << 21U | std::random_device{}() >> 11U) &
        ((std::uint64_t{1} << 49U) - 1));
    exercise.speed_wpm = options.speed_wpm.value_or(kDefaultWpm);
    const auto kind = fist::drill_kind_by_name(options.kind);
    auto text = fist::drill_text(kind.value_or(fist::DrillKind::groups), options.count, weights,
                                 exercise.seed);
    if (!text) return fail(text.error());
    exercise.text = std::move(*text);
    Output out(1);
    if (!options.out.empty()) {
        exercise.file = options.out;
        exercise.text_file = options.out + ".txt";
        if (const Status status = write_exercise(options, exercise); !status) {
            return fail(status.error());
        }
        side.write(fmt::format("-- {:.1f} wpm in {}; its text is in {}\n", exercise.speed_wpm,
                               exercise.file, exercise.text_file));
    } else if (!options.json) {
        out.write(exercise_lines(exercise.text));
    }
    if (options.json) out.write(json_line(exercise));
    if (!options.json) side.flush();
    return deliver(out, kDone);
}

Status check(const DrillOptions& options, const CLI::App& verb) {
    const auto given = [&](const char* name) { return verb.get_option(name)->count() > 0; };
    const bool marks = given("--answer") || given("--sent");
    if (marks && !(given("--answer") && given("--sent"))) {
        return Error{ErrorCode::invalid_value,
                     "--answer and --sent go together: what was typed, and the text sent"};
    }
    for (const char* name : {"--kind", "--count", "--seed", "--out"}) {
        if (marks && given(name)) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("{}: is for a new text, not for marking an --answer", name)};
        }
    }
    for (const char* name : {"--snr-2500hz", "--fading", "--fist", "--pitch"}) {
        if (given(name) && options.out.empty()) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("{}: is for keyed audio; name its file with --out", name)};
        }
    }
    if (given("--wpm") && !marks && options.out.empty()) {
        return Error{ErrorCode::invalid_value, "--wpm: needs --out, or --answer and --sent"};
    }
    return Done{};
}

template <typename Named>
std::vector<std::string> names_of(std::span<const Named> all) {
    std::vector<std::string> names;
    for (const Named& one : all) names.emplace_back(one.name);
    return names;
}

void add_audio_options(CLI::App& verb, DrillOptions& options) {
    verb.add_option("--out", options.out, "Key it to copy, .wav or .flac; text in FILE.txt")
        ->type_name("FILE");
    verb.add_option("--wpm", options.speed_wpm, "Speed; 12 if left out with --out")
        ->type_name("N")
        ->check(number_within({kMinSpeedWpm, kMaxSpeedWpm, "wpm"}));
    verb.add_option("--snr-2500hz", options.snr_2500hz_db,
                    "Tone over noise in 2500 Hz; none: no noise")
        ->type_name("DB")
        ->check(number_within({-30.0, 60.0, "dB"}));
    verb.add_option("--fading", options.fading, "Fading, by the names of key --help")
        ->type_name("NAME")
        ->check(one_of(names_of(synth::named_channels())));
    verb.add_option("--fist", options.fist, "Whose hand sends it, by the names of key --help")
        ->type_name("NAME")
        ->check(one_of(names_of(synth::named_fists())))
        ->capture_default_str();
    verb.add_option("--pitch", options.pitch_hz, "Pitch of the tone")
        ->type_name("HZ")
        ->capture_default_str()
        ->check(number_within({200.0, 2000.0, "Hz"}));
}

}  // namespace

void add_drill(CLI::App& program, Run& chosen) {
    auto options = std::make_shared<DrillOptions>();
    CLI::App* verb =
        program.add_subcommand("drill", "Text to send or copy, and the marks of what was copied");
    verb->add_option("--kind", options->kind, "groups, plain, calls, figures or procedure")
        ->type_name("KIND")
        ->capture_default_str()
        ->check(one_of(fist::drill_kind_names()));
    verb->add_option("--count", options->count, "How many groups, calls or sentences")
        ->type_name("N")
        ->capture_default_str()
        ->check(number_within({1.0, static_cast<double>(fist::kMostDrillCount), ""}, true));
    verb->add_option("--seed", options->seed, "The same number gives the same text")
        ->type_name("N")
        ->check(number_within({0.0, 1.0e15, ""}, true));
    add_audio_options(*verb, *options);
    verb->add_option("--answer", options->answer, "Mark this file: what was typed, UTF-8")
        ->type_name("FILE");
    verb->add_option("--sent", options->sent, "The text that was sent, as written by --out")
        ->type_name("FILE.txt");
    CLI::Option* who =
        verb->add_option("--who", options->who, "Weigh by earlier exercises; keep marks in the log")
            ->type_name("NAME");
    add_log_file_option(*verb, options->log_file)->needs(who);
    verb->add_flag("--json", options->json, "The result as JSON Lines");
    verb->footer(kExample);
    verb->callback([options, &chosen, verb] {
        chosen = [options, verb] {
            if (const Status status = check(*options, *verb); !status) return fail(status.error());
            return verb->get_option("--answer")->count() == 0 ? give_text(*options)
                                                              : mark(*options);
        };
    });
}

}  // namespace skedlark::cli
