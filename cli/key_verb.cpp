// skedlark key: keyed audio with a chosen speed, fist, channel and noise, and its truth.
#include <fmt/format.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <memory>
#include <sstream>

#include "cli/options.h"
#include "cli/output.h"
#include "dsp/audio/segment_file.h"
#include "dsp/audio/source.h"
#include "dsp/morse/code_table.h"
#include "dsp/synth/conditions.h"
#include "dsp/synth/fist.h"
#include "dsp/synth/scene.h"

namespace skedlark::cli {

namespace {

constexpr const char* kExample =
    "Example:\n"
    "  skedlark key 'QVA7 DE QXB2 [BT] ALL WELL [AR]' --fist steady --snr-2500hz -5 --out "
    "practice.wav\n"
    "Procedure signals stand in brackets. The truth (text, marks, characters with their times) is "
    "written\n"
    "beside the audio. Caution: to key a transmitter with such audio you need a licence for it.";

struct KeyOptions {
    std::string text;
    std::string text_file;
    std::string out;
    std::string truth;
    std::string fist = "machine";
    std::string channel;
    double speed_wpm = 20.0;
    double pitch_hz = 700.0;
    std::optional<double> snr_2500hz_db;
    double level_dbfs = -30.0;
    double rate_hz = 8000.0;
    std::uint64_t seed = 1;
};

Error key_error(ErrorCode code, std::string message) { return {code, std::move(message)}; }

Result<std::string> text_to_key(const KeyOptions& options) {
    std::string text = options.text;
    if (!options.text_file.empty() || text == "-") {
        std::string file = options.text_file.empty() ? "/dev/stdin" : options.text_file;
        std::error_code ignored;
        if (std::filesystem::is_directory(file, ignored)) {
            return key_error(ErrorCode::unreadable, file + ": is a directory, not a text file");
        }
        std::ifstream in(file, std::ios::binary);
        if (!in) {
            return key_error(ErrorCode::not_found, file + ": cannot be read");
        }
        std::ostringstream content;
        content << in.rdbuf();
        text = content.str();
    }
    // Line ends and tabs part words like blanks.
    for (char& c : text) {
        c = c == '\n' || c == '\r' || c == '\t' ? ' ' : c;
    }
    if (text.find_first_not_of(' ') == std::string::npos) {
        return key_error(ErrorCode::invalid_value, "TEXT is empty: nothing to key");
    }
    if (const auto symbols = morse::symbols_from_text(text); !symbols) {
        return symbols.error();
    }
    return text;
}

Result<audio::SegmentFormat> format_of(const KeyOptions& options) {
    audio::SegmentFormat format;
    format.rate_hz = static_cast<int>(options.rate_hz);
    const std::string ending = std::filesystem::path(options.out).extension();
    if (ending == ".wav") {
        format.format = audio::RecordingFormat::wav;
    } else if (ending == ".flac") {
        format.format = audio::RecordingFormat::flac;
    } else {
        return key_error(ErrorCode::invalid_value,
                         fmt::format("--out: '{}' must end in .wav or .flac", options.out));
    }
    return format;
}

Result<synth::SceneConfig> scene_of(const KeyOptions& options, const std::string& text) {
    const Result<synth::Fist> fist = synth::fist_by_name(options.fist);
    if (!fist) {
        return fist.error();
    }
    synth::SceneConfig scene =
        synth::one_text(text, options.speed_wpm, *fist, options.snr_2500hz_db, options.seed);
    scene.sample_rate_hz = options.rate_hz;
    scene.level_dbfs = options.level_dbfs;
    scene.beat.pitch_hz = options.pitch_hz;
    if (const Status status = synth::apply_conditions(options.channel, scene); !status) {
        return status.error();
    }
    return scene;
}

// Returns how many samples were beyond full scale.
Result<long> write_audio(synth::SceneStream& scene, audio::SegmentFile& file) {
    std::vector<float> block(16384);
    long clipped = 0;
    while (const std::size_t frames = scene.read(block)) {
        const auto part = std::span(block).first(frames);
        for (const float sample : part) {
            clipped += std::abs(sample) > 1.0F ? 1 : 0;
        }
        if (const Status status = file.append(part); !status) {
            return status.error();
        }
    }
    if (const Status status = file.finish(); !status) {
        return status.error();
    }
    return clipped;
}

Status write_truth(const std::string& path, const synth::Truth& truth) {
    std::ofstream out(path, std::ios::binary);
    out << synth::to_json(truth) << "\n";
    out.close();
    if (!out) {
        return key_error(ErrorCode::write_failed, path + ": cannot be written");
    }
    return Done{};
}

Result<long> key(const KeyOptions& options) {
    const Result<audio::SegmentFormat> format = format_of(options);
    if (!format) {
        return format.error();
    }
    const Result<std::string> text = text_to_key(options);
    if (!text) {
        return text.error();
    }
    const Result<synth::SceneConfig> config = scene_of(options, *text);
    if (!config) {
        return config.error();
    }
    Result<synth::SceneStream> scene = synth::SceneStream::create(*config);
    if (!scene) {
        return scene.error();
    }
    auto file = audio::SegmentFile::create(options.out, *format);
    if (!file) {
        return file.error();
    }
    Result<long> clipped = write_audio(*scene, **file);
    if (!clipped) {
        return clipped.error();
    }
    const std::string truth = options.truth.empty() ? options.out + ".json" : options.truth;
    if (const Status status = write_truth(truth, scene->truth()); !status) {
        return status.error();
    }
    return clipped;
}

ExitStatus run_key(const KeyOptions& options) {
    const Result<long> clipped = key(options);
    if (!clipped) {
        print_error("key", clipped.error().message);
        return exit_status(clipped.error().code);
    }
    if (*clipped > 0) {
        print_error("key", fmt::format("{} samples were beyond full scale and are clipped; a lower "
                                       "--level-dbfs avoids it",
                                       *clipped));
    }
    return kDone;
}

std::string names_of(std::span<const synth::NamedFist> fists) {
    std::string names;
    for (const synth::NamedFist& fist : fists) {
        names += names.empty() ? "" : ", ";
        names += fist.name;
    }
    return names;
}

std::string condition_help() {
    std::string help = "How it is received; several are joined by \";\":";
    for (const synth::ConditionHelp& condition : synth::condition_names()) {
        help += fmt::format("\n{}: {}", condition.form, condition.help);
    }
    return help;
}

}  // namespace

void add_key(CLI::App& program, Run& chosen) {
    auto options = std::make_shared<KeyOptions>();
    CLI::App* verb = program.add_subcommand(
        "key", "Keyed audio with a chosen speed, fist, channel and noise, and its truth");
    CLI::Option* text =
        verb->add_option("TEXT", options->text, "What to key; - reads it from standard input");
    text->type_name("");
    verb->add_option("--text-file", options->text_file, "Read the text from a file")
        ->type_name("FILE")
        ->excludes(text);
    verb->add_option("--out", options->out,
                     "Sound file to write, .wav or .flac; never overwrites one")
        ->type_name("FILE")
        ->required();
    verb->add_option("--truth", options->truth,
                     "Where the truth goes; FILE.json of --out if left out")
        ->type_name("FILE");
    verb->add_option("--wpm", options->speed_wpm, "Speed")
        ->type_name("N")
        ->capture_default_str()
        ->check(number_within({kMinSpeedWpm, kMaxSpeedWpm, "wpm"}));
    verb->add_option("--pitch", options->pitch_hz, "Pitch of the tone")
        ->type_name("HZ")
        ->capture_default_str()
        ->check(number_within({50.0, 3900.0, "Hz"}));
    verb->add_option("--fist", options->fist, "Whose hand: " + names_of(synth::named_fists()))
        ->type_name("NAME")
        ->capture_default_str();
    verb->add_option("--snr-2500hz", options->snr_2500hz_db,
                     "Key-down tone over noise in 2500 Hz; without it there is no noise")
        ->type_name("DB")
        ->check(number_within({-60.0, 100.0, "dB"}));
    verb->add_option("--channel", options->channel, condition_help())->type_name("CONDITIONS");
    verb->add_option("--level-dbfs", options->level_dbfs, "Level of the tone with the key down")
        ->type_name("DB")
        ->capture_default_str()
        ->check(number_within({-120.0, 0.0, "dBFS"}));
    verb->add_option("--rate", options->rate_hz, "Sample rate")
        ->type_name("HZ")
        ->capture_default_str()
        ->check(number_within({audio::kMinSampleRateHz, audio::kMaxSampleRateHz, "Hz"}, true));
    verb->add_option("--seed", options->seed, "The same number gives the same audio")
        ->type_name("N")
        ->capture_default_str()
        ->check(number_within({0.0, 1.0e15, ""}, true));
    verb->footer(kExample);
    verb->callback([options, &chosen, text] {
        if (text->count() == 0 && options->text_file.empty()) {
            throw CLI::RequiredError("TEXT or --text-file");
        }
        chosen = [options] { return run_key(*options); };
    });
}

}  // namespace skedlark::cli
