// Makes all demo recordings anew: make_recordings FOLDER writes FOLDER/*.flac, FOLDER/truth/*.json
// and FOLDER/MANIFEST.md. Checksums are put in afterwards by add_checksums.cmake (target
// `recordings`).
#include <sndfile.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <memory>
#include <string>
#include <vector>

#include "dsp/synth/scene.h"
#include "recordings/recipes.h"

namespace {

using skedlark::Done;
using skedlark::Error;
using skedlark::ErrorCode;
using skedlark::Status;
namespace synth = skedlark::synth;
namespace recordings = skedlark::recordings;

struct Close {
    void operator()(SNDFILE* file) const { sf_close(file); }
};

Status write_flac(const std::filesystem::path& path, const std::vector<float>& audio,
                  double sample_rate_hz) {
    SF_INFO info{};
    info.samplerate = static_cast<int>(sample_rate_hz);
    info.channels = 1;
    info.format = SF_FORMAT_FLAC | SF_FORMAT_PCM_16;
    const std::unique_ptr<SNDFILE, Close> file(sf_open(path.c_str(), SFM_WRITE, &info));
    if (!file) {
        return Error{ErrorCode::write_failed, path.string() + ": " + sf_strerror(nullptr)};
    }
    double level = 1.0;  // smallest files
    sf_command(file.get(), SFC_SET_COMPRESSION_LEVEL, &level, sizeof level);
    std::vector<short> samples;
    samples.reserve(audio.size());
    for (const float value : audio) samples.push_back(recordings::sample_16bit(value));
    const auto frames = static_cast<sf_count_t>(samples.size());
    if (sf_writef_short(file.get(), samples.data(), frames) != frames) {
        return Error{ErrorCode::write_failed, path.string() + ": " + sf_strerror(file.get())};
    }
    return Done{};
}

std::string number(double value) {
    char text[32];
    std::snprintf(text, sizeof text, "%g", value);
    return text;
}

std::string manifest_row(const recordings::Recipe& recipe, std::size_t index, double seconds) {
    char length[32];
    std::snprintf(length, sizeof length, "%.1f", seconds);
    const std::string name(recipe.name);
    const std::string conditions =
        recipe.conditions.empty() ? "plain noise" : "`" + std::string(recipe.conditions) + "`";
    std::string text = "`" + std::string(recipe.text) + "`";
    if (!recipe.answer.empty())
        text += "; answer 60 Hz higher: `" + std::string(recipe.answer) + "`";
    return "| " + name + ".flac | " + std::string(recipe.about) + " | " +
           number(recipe.sample_rate_hz) + " | " + length + " | " + number(recipe.pitch_hz) +
           " | " + number(recipe.speed_wpm) + " | " + std::string(recipe.hand) + " | " +
           number(recipe.snr_2500hz_db) + " | " + conditions + " | " + std::to_string(index + 1) +
           " | " + text + " | CC0-1.0 | `@SHA256 " + name + ".flac@` |\n";
}

constexpr const char* kManifestHead =
    "# Demo recordings\n"
    "Every sound here is made by `make_recordings` from `recordings/recipes.cpp` with `dsp/synth`; "
    "no receiver "
    "was used, and every call, name and message is invented (calls from the series QVA to QZZ). "
    "16-bit FLAC, "
    "mono. The exact times of every mark and character, the pitch and the level over time stand in "
    "`truth/NAME.json`. To make them anew: `cmake --build BUILD --target recordings`.\n\n"
    "SNR is key-down tone power over noise power in 2500 Hz, before the receiver's filter; with "
    "fading it is the "
    "mean. Procedure signals stand in brackets. Conditions are as for `skedlark key --channel`. "
    "Files are dedicated to the public domain (CC0-1.0). A checksum is of the file; another FLAC "
    "encoder gives "
    "the same samples in other bytes.\n\n"
    "| file | what it is | rate Hz | length s | pitch Hz | wpm | hand | SNR dB | conditions | seed "
    "| text | licence | "
    "sha256 |\n"
    "| --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- | --- |\n";

Status make_sweep(const std::filesystem::path& folder, std::ofstream& manifest) {
    const auto config = recordings::sweep_scene();
    const auto scene = synth::make_sweep_scene(config);
    if (!scene) return scene.error();
    const std::string name(recordings::kSweepName);
    if (const Status status =
            write_flac(folder / (name + ".flac"), scene->samples, config.sample_rate_hz);
        !status) {
        return status;
    }
    std::ofstream truth(folder / "truth" / (name + ".json"));
    truth << synth::to_json(scene->truth, -1) << '\n';
    if (!truth) return Error{ErrorCode::write_failed, name + ".json: cannot be written"};
    char length[32];
    std::snprintf(length, sizeof length, "%.1f", config.seconds);
    manifest << "| " << name
             << ".flac | the dial of `docs/examples/saddle-hut.toml`, band 2, turned "
             << "by hand from " << number(recordings::kSweepFromDiv) << " to "
             << number(recordings::kSweepToDiv)
             << " past a broadcast, a weak station, a steady carrier and a strong net | "
             << number(config.sample_rate_hz) << " | " << length << " | - | "
             << number(config.stations[recordings::kSweepWanted].station.speed_wpm)
             << " | ordinary | " << number(*config.snr_2500hz_db) << " | plain noise | "
             << config.seed << " | `"
             << scene->truth.stations[recordings::kSweepWanted].station.text
             << "` | CC0-1.0 | `@SHA256 " << name << ".flac@` |\n";
    return Done{};
}

Status make_all(const std::filesystem::path& folder) {
    std::error_code failed;
    std::filesystem::create_directories(folder / "truth", failed);
    std::ofstream manifest(folder / "MANIFEST.md");
    manifest << kManifestHead;
    const auto all = recordings::recipes();
    for (std::size_t i = 0; i < all.size(); ++i) {
        const auto config = recordings::scene_of(i);
        if (!config) return config.error();
        const auto scene = synth::make_scene(*config);
        if (!scene) return scene.error();
        const std::string name(all[i].name);
        if (const Status status =
                write_flac(folder / (name + ".flac"), scene->samples, scene->truth.sample_rate_hz);
            !status) {
            return status.error();
        }
        std::ofstream truth(folder / "truth" / (name + ".json"));
        truth << synth::to_json(scene->truth, -1) << '\n';
        if (!truth) return Error{ErrorCode::write_failed, name + ".json: cannot be written"};
        manifest << manifest_row(all[i], i, scene->truth.seconds);
    }
    if (const Status status = make_sweep(folder, manifest); !status) return status;
    if (!manifest) return Error{ErrorCode::write_failed, "MANIFEST.md: cannot be written"};
    return Done{};
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 2) {
        std::fputs("usage: make_recordings FOLDER\n", stderr);
        return 2;
    }
    if (const Status status = make_all(argv[1]); !status) {
        std::fprintf(stderr, "make_recordings: %s\n", status.error().message.c_str());
        return 2;
    }
    return 0;
}
