// The recordings against their manifest, their truth and their recipes.
#include <gtest/gtest.h>
#include <sndfile.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <memory>
#include <nlohmann/json.hpp>
#include <sstream>
#include <string>
#include <vector>

#include "dsp/morse/code_table.h"
#include "dsp/synth/scene.h"
#include "recordings/recipes.h"

namespace skedlark::recordings {
namespace {

const std::filesystem::path kFolder = SKEDLARK_RECORDINGS;

struct Close {
    void operator()(SNDFILE* file) const { sf_close(file); }
};

struct Audio {
    SF_INFO info{};
    std::vector<short> samples;
};

Audio read_audio(const std::filesystem::path& path) {
    Audio audio;
    const std::unique_ptr<SNDFILE, Close> file(sf_open(path.c_str(), SFM_READ, &audio.info));
    if (!file) return audio;
    audio.samples.resize(static_cast<std::size_t>(audio.info.frames));
    sf_readf_short(file.get(), audio.samples.data(), audio.info.frames);
    return audio;
}

// Rows of the manifest's table by file, cells trimmed.
std::map<std::string, std::vector<std::string>> manifest() {
    std::map<std::string, std::vector<std::string>> rows;
    std::ifstream in(kFolder / "MANIFEST.md");
    for (std::string line; std::getline(in, line);) {
        if (line.rfind("| ", 0) != 0 || line.find(".flac |") == std::string::npos) continue;
        std::vector<std::string> cells;
        std::istringstream parts(line.substr(1));
        for (std::string cell; std::getline(parts, cell, '|');) {
            const auto from = cell.find_first_not_of(' ');
            const auto to = cell.find_last_not_of(' ');
            cells.push_back(from == std::string::npos ? "" : cell.substr(from, to - from + 1));
        }
        rows[cells.at(0)] = cells;
    }
    return rows;
}

nlohmann::json truth_of(const std::string& name) {
    std::ifstream in(kFolder / "truth" / (name + ".json"));
    return nlohmann::json::parse(in);
}

TEST(Recordings, ManifestFilesAndTruthAgree) {
    const auto rows = manifest();
    ASSERT_EQ(rows.size(), recipes().size() + 1U);  // and the sweep
    ASSERT_GE(rows.size(), 10U);
    std::uintmax_t bytes = 0;
    for (const Recipe& recipe : recipes()) {
        const std::string name(recipe.name);
        ASSERT_TRUE(rows.count(name + ".flac")) << name;
        const auto& cells = rows.at(name + ".flac");
        ASSERT_EQ(cells.size(), 13U) << name;
        const Audio audio = read_audio(kFolder / (name + ".flac"));
        EXPECT_EQ(audio.info.format, SF_FORMAT_FLAC | SF_FORMAT_PCM_16) << name;
        EXPECT_EQ(audio.info.channels, 1) << name;
        EXPECT_EQ(audio.info.samplerate, std::stoi(cells[2])) << name;
        const double seconds = static_cast<double>(audio.info.frames) / audio.info.samplerate;
        EXPECT_NEAR(seconds, std::stod(cells[3]), 0.051) << name;
        const auto truth = truth_of(name);
        EXPECT_EQ(truth["sample_rate_hz"], audio.info.samplerate) << name;
        EXPECT_NEAR(truth["seconds"].get<double>(), seconds, 1e-3) << name;
        EXPECT_EQ("`" + truth["wanted"]["text"].get<std::string>() + "`",
                  cells[10].substr(0, cells[10].find(';')))
            << name;
        EXPECT_EQ(truth["snr_2500hz_db"].get<double>(), std::stod(cells[7])) << name;
        EXPECT_EQ(truth["wanted"]["speed_wpm"].get<double>(), std::stod(cells[5])) << name;
        EXPECT_NEAR(truth["pitch_hz"][0].get<double>(), std::stod(cells[4]), 0.01) << name;
        EXPECT_EQ(cells[11], "CC0-1.0") << name;
        bytes += std::filesystem::file_size(kFolder / (name + ".flac"));
    }
    EXPECT_LT(bytes, 8'000'000U);
}

// Invented calls only: whatever has the shape of a call lies in QVA to QZZ.
TEST(Recordings, CallsAreInvented) {
    for (const Recipe& recipe : recipes()) {
        std::istringstream words(std::string(recipe.text) + " " + std::string(recipe.answer));
        int calls = 0;
        for (std::string word; words >> word;) {
            const bool call = word.size() == 4 && std::isupper(word[0]) && std::isupper(word[1]) &&
                              std::isupper(word[2]) && std::isdigit(word[3]);
            if (!call) continue;
            ++calls;
            EXPECT_GE(word.substr(0, 3), "QVA") << recipe.name;
            EXPECT_LE(word.substr(0, 3), "QZZ") << recipe.name;
        }
        EXPECT_TRUE(morse::symbols_from_text(recipe.text)) << recipe.name;
    }
}

// Anyone can make them anew. Mathematics libraries differ in the last bit, which may turn a
// rounding: one step of the 16 bits, seldom.
TEST(Recordings, RecipesMakeTheFiles) {
    for (std::size_t i = 0; i < recipes().size(); ++i) {
        const auto config = scene_of(i);
        ASSERT_TRUE(config) << config.error().message;
        const auto scene = synth::make_scene(*config);
        ASSERT_TRUE(scene) << scene.error().message;
        const Audio audio = read_audio(kFolder / (std::string(recipes()[i].name) + ".flac"));
        ASSERT_EQ(audio.samples.size(), scene->samples.size()) << recipes()[i].name;
        std::size_t different = 0;
        for (std::size_t n = 0; n < audio.samples.size(); ++n) {
            const int difference = std::abs(audio.samples[n] - sample_16bit(scene->samples[n]));
            ASSERT_LE(difference, 1) << recipes()[i].name << " sample " << n;
            different += difference != 0 ? 1U : 0U;
        }
        EXPECT_LE(different, audio.samples.size() / 1000) << recipes()[i].name;
    }
}

// Nothing clips, and there is something to hear: at least -42 dBFS peak.
TEST(Recordings, LevelsAreGood) {
    for (const Recipe& recipe : recipes()) {
        const Audio audio = read_audio(kFolder / (std::string(recipe.name) + ".flac"));
        int highest = 0;
        for (const short value : audio.samples) highest = std::max(highest, std::abs(int{value}));
        EXPECT_LT(highest, 32767) << recipe.name;
        EXPECT_GT(highest, 260) << recipe.name;
    }
}

TEST(Recordings, TheSweepIsItsRecipesScene) {
    const auto config = sweep_scene();
    const auto scene = synth::make_sweep_scene(config);
    ASSERT_TRUE(scene.ok());
    const std::string name(kSweepName);
    const Audio audio = read_audio(kFolder / (name + ".flac"));
    ASSERT_EQ(audio.samples.size(), scene->samples.size());
    EXPECT_EQ(audio.info.samplerate, 8000);
    std::size_t different = 0;
    for (std::size_t n = 0; n < audio.samples.size(); ++n)
        different += std::abs(audio.samples[n] - sample_16bit(scene->samples[n])) > 1 ? 1U : 0U;
    EXPECT_LE(different, audio.samples.size() / 1000);
    const auto truth = truth_of(name);
    ASSERT_EQ(truth.at("stations").size(), config.stations.size());
    for (std::size_t n = 0; n < config.stations.size(); ++n) {
        const auto& zero_beats = truth.at("stations")[n].at("zero_beats_s");
        ASSERT_EQ(zero_beats.size(), 1U);
        EXPECT_NEAR(zero_beats[0].get<double>(), scene->truth.stations[n].zero_beats_s[0], 1e-3);
    }
}

}  // namespace
}  // namespace skedlark::recordings
