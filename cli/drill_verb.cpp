// skedlark drill: text to send, audio to copy, kit to set up, and the marks of it.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <memory>
#include <random>

#include "cli/drill.h"
#include "cli/drill_log.h"
#include "cli/new_file.h"
#include "cli/options.h"
#include "cli/watch_log.h"
#include "dsp/audio/segment_file.h"
#include "dsp/core/units.h"
#include "dsp/fist/drill_text.h"
#include "dsp/synth/channel.h"
#include "dsp/synth/fist.h"
#include "dsp/synth/scene.h"

namespace skedlark::cli {

namespace {

constexpr const char* kExample =
    "To send:\n"
    "  skedlark drill --kind groups --count 10 > exercise.txt\n"
    "  skedlark fist --text-file exercise.txt --who Ann practice.wav\n"
    "prints a text to send; fist then grades a recording of it. With a key (its line or its\n"
    "sidetone) at a sound input, both at once:\n"
    "  skedlark drill --live --kind calls --who Ann\n"
    "To copy:\n"
    "  skedlark drill --play --kind groups --count 5 --snr-2500hz 6 --who Ann\n"
    "plays a text that is not shown, asks for what was heard and marks it. In files:\n"
    "  skedlark drill --kind calls --wpm 14 --snr-2500hz 3 --out ex.wav --who Ann\n"
    "  skedlark drill --answer typed.txt --sent ex.wav.txt --wpm 14 --who Ann\n"
    "_ stands for a character that was not copied. With --who the marks are kept in the log\n"
    "(skedlark log --kind practice), the next text has more of what this person gets wrong, and\n"
    "the next level is the one at which about nine in ten should be right. Levels are\n"
    "five-letter groups a minute.\n"
    "To set up, from a plan and a receiver file:\n"
    "  skedlark drill --set-up hut-net.toml --chart saddle-hut.toml\n"
    "asks for band, division, crystal and switch.\n"
    "Caution: begin with the headphones turned low. Practice needs no transmitter: take the key\n"
    "off it; to key one you need a licence.\n"
    "Exit status: 0 done, and right (copied: nine in ten or more); 1 it was not; 2 cannot do it.";

Status key_audio(synth::SceneStream& scene, audio::SegmentFile& file) {
    std::vector<float> block(16384);
    while (const std::size_t frames = scene.read(block)) {
        if (Status status = file.append(std::span(block).first(frames)); !status) return status;
    }
    return file.finish();
}

// The text goes into a file of its own; neither it nor the audio overwrites one.
Status write_exercise(const DrillOptions& options, const NewExercise& made) {
    const Exercise& exercise = made.exercise;
    audio::SegmentFormat format;
    format.rate_hz = static_cast<int>(fist::kDrillRateHz);
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
    fist::DrillConditions conditions = options.conditions;
    conditions.pace = made.pace;
    const auto config = fist::drill_scene(exercise.text, conditions, exercise.seed);
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
std::string said_of(int exercises, const std::string& who, const fist::DrillWeights& weights) {
    std::vector<std::pair<double, std::string>> more;
    for (const auto& [character, weight] : weights) {
        if (weight > 1.0) more.emplace_back(-weight, character);
    }
    std::sort(more.begin(), more.end());
    std::string list;
    for (std::size_t i = 0; i < std::min<std::size_t>(more.size(), 8); ++i) {
        list += " " + more[i].second;
    }
    return fmt::format("-- {} earlier exercises of {}; more of:{}\n", exercises, who,
                       list.empty() ? " nothing" : list);
}

// The first so many of the order to take them up in, of those this kind is made of.
std::string drawn_of(const DrillOptions& options, fist::DrillKind kind,
                     const std::map<std::string, fist::CharacterTally>& tallies) {
    std::string among;
    if (options.first == 0) return among;
    const bool figures = kind == fist::DrillKind::figures;
    for (const std::string& one : fist::practice_order(tallies)) {
        const bool is_figure = one.front() >= '0' && one.front() <= '9';
        if (is_figure == figures) among += one;
    }
    return among.substr(0, std::min(among.size(), static_cast<std::size_t>(options.first)));
}

Status check(const DrillOptions& options, const CLI::App& verb) {
    const auto given = [&](const char* name) { return verb.get_option(name)->count() > 0; };
    const auto refuse = [](const std::string& said) {
        return Error{ErrorCode::invalid_value, said};
    };
    const bool marks = given("--answer") || given("--sent");
    if (marks && !(given("--answer") && given("--sent"))) {
        return refuse("--answer and --sent go together: what was typed, and the text sent");
    }
    if (given("--set-up") != given("--chart")) {
        return refuse("--set-up and --chart go together: the plan, and the receiver file");
    }
    const int ways = static_cast<int>(marks) + given("--set-up") + given("--out") +
                     given("--play") + (given("--live") && !given("--key-delay")) +
                     given("--key-delay");
    if (ways > 1) return refuse("one at a time of --out, --play, --live, --answer, --set-up");
    for (const char* name : {"--kind", "--count", "--seed", "--first"}) {
        if (marks && given(name)) {
            return refuse(fmt::format("{}: is for a new text, not for marking an --answer", name));
        }
    }
    const bool keyed = given("--out") || given("--play");
    for (const char* name :
         {"--snr-2500hz", "--fading", "--fist", "--pitch", "--neighbour", "--character-wpm"}) {
        if (given(name) && !keyed) {
            return refuse(fmt::format(
                "{}: is for keyed audio; name its file with --out, or --play it", name));
        }
    }
    for (const char* name : {"--wpm", "--level"}) {
        if (given(name) && !marks && !keyed) {
            return refuse(fmt::format("{}: needs --out, --play, or --answer and --sent", name));
        }
    }
    for (const char* name : {"--output", "--volume", "--limit"}) {
        if (given(name) && !given("--play") && !given("--key-delay"))
            return refuse(fmt::format("{}: needs --play or --key-delay", name));
    }
    if (options.level) {
        if (const auto pace = fist::pace_at(*options.level, kMinSpeedWpm); !pace) {
            return refuse("--" + pace.error().message);
        }
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
    verb.add_flag("--play", options.play, "Play it to copy, and ask for what was heard");
    CLI::Option* wpm =
        verb.add_option("--wpm", options.speed_wpm, "Speed; 12 if left out and nothing is known")
            ->type_name("N")
            ->check(number_within({kMinSpeedWpm, kMaxSpeedWpm, "wpm"}));
    verb.add_option("--level", options.level, "The same in five-letter groups a minute")
        ->type_name("N")
        ->excludes(wpm);
    verb.add_option("--character-wpm", options.character_wpm,
                    "Characters no slower than this, gaps stretched to the level")
        ->type_name("N")
        ->check(number_within({kMinSpeedWpm, kMaxSpeedWpm, "wpm"}));
    fist::DrillConditions& how = options.conditions;
    verb.add_option("--snr-2500hz", how.snr_2500hz_db, "Tone over noise in 2500 Hz; none: no noise")
        ->type_name("DB")
        ->check(number_within({-30.0, 60.0, "dB"}));
    verb.add_option("--fading", how.fading, "Fading, by the names of key --help")
        ->type_name("NAME")
        ->check(one_of(names_of(synth::named_channels())));
    verb.add_option("--neighbour", how.neighbour_hz, "Another sender, so far above or below")
        ->type_name("HZ")
        ->check(number_within({-1000.0, 1000.0, "Hz"}));
    verb.add_option("--fist", how.hand, "Whose hand sends it, by the names of key --help")
        ->type_name("NAME")
        ->check(one_of(names_of(synth::named_fists())))
        ->capture_default_str();
    verb.add_option("--pitch", how.pitch_hz, "Pitch of the tone")
        ->type_name("HZ")
        ->capture_default_str()
        ->check(number_within({200.0, 2000.0, "Hz"}));
}

void add_sound_options(CLI::App& verb, DrillOptions& options) {
    CLI::Option* live = verb.add_option("--live", options.input_device,
                                        "Send it: the key's line or sidetone at this sound input, "
                                        "the default one if left out")
                            ->expected(0, 1)
                            ->type_name("[DEVICE]");
    verb.parse_complete_callback([&options, live] { options.live = live->count() > 0; });
    verb.add_flag("--key-delay", options.key_delay,
                  "Measure how late the sidetone is: output joined to the input of --live");
    verb.add_option("--output", options.output_device, "Sound output; part of its name")
        ->type_name("DEVICE");
    verb.add_option("--volume", options.volume_dbfs, "Loudness of --play, of the sidetone")
        ->type_name("DBFS")
        ->capture_default_str()
        ->check(number_within({-70.0, -12.0, "dBFS"}));
    verb.add_option("--limit", options.limit_dbfs, "No peak goes beyond")
        ->type_name("DBFS")
        ->capture_default_str()
        ->check(number_within({-60.0, -10.0, "dBFS"}));
    verb.add_option("--set-up", options.set_up_plan, "Ask for the kit's settings, from this plan")
        ->type_name("PLAN");
    verb.add_option("--chart", options.chart, "Receiver file, for --set-up")->type_name("FILE");
}

ExitStatus run(const DrillOptions& options, const CLI::App& verb) {
    if (options.key_delay) return measure_key_delay(options);
    if (verb.get_option("--set-up")->count() > 0) return set_up(options);
    if (verb.get_option("--answer")->count() > 0) return mark_answer(options);
    if (options.play) return play_and_ask(options);
    return options.live ? send_live(options) : give_text(options);
}

}  // namespace

ExitStatus fail_drill(const Error& error) {
    print_error("drill", error.message);
    return exit_status(error.code);
}

ExitStatus deliver(Output& out, ExitStatus status) {
    if (out.flush()) return status;
    print_error("drill", out.failure()->message);
    return out.failure()->status;
}

UtcTime utc_now() {
    return std::chrono::floor<std::chrono::milliseconds>(std::chrono::system_clock::now());
}

Result<NewExercise> new_exercise(const DrillOptions& options, bool to_copy, Output& side) {
    NewExercise made;
    Exercise& exercise = made.exercise;
    fist::DrillWeights weights;
    if (!options.who.empty()) {
        auto record = earlier_exercises(options.log_file, options.who);
        if (!record) {
            print_error("drill", "all characters alike: " + record.error().message);
        } else {
            made.record = std::move(*record);
            exercise.earlier = made.record.copied + (to_copy ? 0 : made.record.sent);
            weights = to_copy ? made.record.weights_to_copy() : made.record.weights_to_send();
            if (exercise.earlier > 0) side.write(said_of(exercise.earlier, options.who, weights));
        }
    }
    exercise.kind = options.kind;
    exercise.count = options.count;
    // 53 bits, so that every reader of JSON keeps it whole.
    exercise.seed = options.seed.value_or(
        (std::uint64_t{std::random_device{}()} << 21U | std::random_device{}() >> 11U) &
        ((std::uint64_t{1} << 49U) - 1));
    const auto kind = fist::drill_kind_by_name(options.kind).value_or(fist::DrillKind::groups);
    auto text = fist::drill_text(kind, options.count, weights, exercise.seed,
                                 drawn_of(options, kind, made.record.copied_characters));
    if (!text) return text.error();
    exercise.text = std::move(*text);
    made.level = fist::level_of_speed(options.speed_wpm.value_or(kDefaultWpm));
    if (!options.speed_wpm && !made.record.levels.empty()) {
        made.level = fist::next_level(made.record.levels);
    }
    if (options.level) made.level = *options.level;
    const auto pace = fist::pace_at(made.level, options.character_wpm.value_or(kMinSpeedWpm));
    if (!pace) return pace.error();
    made.pace = *pace;
    exercise.speed_wpm = made.pace.character_wpm;
    return made;
}

ExitStatus give_text(const DrillOptions& options) {
    Output side(2);
    const bool to_copy = !options.out.empty();
    auto made = new_exercise(options, to_copy, side);
    if (!made) return fail_drill(made.error());
    Exercise& exercise = made->exercise;
    Output out(1);
    if (to_copy) {
        exercise.file = options.out;
        exercise.text_file = options.out + ".txt";
        if (const Status status = write_exercise(options, *made); !status) {
            return fail_drill(status.error());
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

void add_drill(CLI::App& program, Run& chosen) {
    auto options = std::make_shared<DrillOptions>();
    CLI::App* verb = program.add_subcommand(
        "drill", "Practice: sending, copying, setting up, and the marks of it");
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
    verb->add_option("--first", options->first,
                     "Groups of the first N characters only: surest first, then shortest")
        ->type_name("N")
        ->check(number_within({2.0, 26.0, ""}, true));
    add_audio_options(*verb, *options);
    add_sound_options(*verb, *options);
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
            const Status status = check(*options, *verb);
            return status ? run(*options, *verb) : fail_drill(status.error());
        };
    });
}

}  // namespace skedlark::cli
