#include "tests/accuracy/speech.h"

#include <fmt/format.h>
#include <spawn.h>
#include <sys/wait.h>

#include <array>
#include <cctype>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "dsp/audio/file_source.h"
#include "dsp/audio/work_rate_source.h"
#include "dsp/synth/text_makers.h"

extern char** environ;

namespace skedlark::accuracy {
namespace {

constexpr int kSentences = 40;  // a reading
constexpr std::array<const char*, 5> kVoices = {"en-gb", "en-us", "en-gb-scotland", "en-gb-x-rp",
                                                "de"};

// A folder of its own, gone at the end.
class Folder {
 public:
    Folder() {
        std::string name =
            (std::filesystem::temp_directory_path() / "skedlark-speech-XXXXXX").string();
        if (::mkdtemp(name.data()) != nullptr) path_ = name;
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() {
        std::error_code ignored;
        if (!path_.empty()) std::filesystem::remove_all(path_, ignored);
    }
    [[nodiscard]] std::string file(const char* name) const { return (path_ / name).string(); }
    [[nodiscard]] bool made() const { return !path_.empty(); }

 private:
    std::filesystem::path path_;
};

Status run(std::vector<std::string> words) {
    std::vector<char*> arguments;
    for (std::string& word : words) arguments.push_back(word.data());
    arguments.push_back(nullptr);
    pid_t child = 0;
    if (::posix_spawnp(&child, arguments[0], nullptr, nullptr, arguments.data(), environ) != 0) {
        return Error{ErrorCode::not_found, words[0] + ": cannot be started; is it installed?"};
    }
    int status = 0;
    if (::waitpid(child, &status, 0) != child || !WIFEXITED(status) || WEXITSTATUS(status) != 0) {
        return Error{ErrorCode::write_failed, words[0] + " failed"};
    }
    return Done{};
}

// As sentences are read, not spelled: small letters, no procedure signals.
std::string readable(const std::string& text) {
    std::string out;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text.compare(i, 4, "[BT]") == 0) {
            out += '.';
            i += 3;
        } else {
            out += static_cast<char>(std::tolower(static_cast<unsigned char>(text[i])));
        }
    }
    return out;
}

Status append_file(const std::string& path, std::vector<float>& audio) {
    auto file = audio::open_file(path, {});
    if (!file) return file.error();
    auto source = audio::WorkRateSource::create(std::move(*file));
    if (!source) return source.error();
    std::array<float, 4096> block{};
    for (;;) {
        const auto read = (*source)->read(block);
        if (!read) return read.error();
        audio.insert(audio.end(), block.begin(), block.begin() + read->frames);
        if (read->end) return Done{};
    }
}

}  // namespace

Result<std::vector<float>> speech(double seconds, std::uint64_t seed) {
    const Folder folder;
    if (!folder.made()) return Error{ErrorCode::write_failed, "no temporary folder can be made"};
    synth::Random random(seed);
    std::vector<float> audio;
    while (static_cast<double>(audio.size()) < seconds * kWorkRateHz) {
        std::ofstream(folder.file("text")) << readable(synth::plain_text(kSentences, random));
        const Status spoken =
            run({"espeak-ng", "-v", kVoices[static_cast<std::size_t>(random.below(kVoices.size()))],
                 "-s", fmt::format("{}", 120 + random.below(80)), "-p",
                 fmt::format("{}", 20 + random.below(60)), "-f", folder.file("text"), "-w",
                 folder.file("speech.wav")});
        if (!spoken) return spoken.error();
        const std::size_t before = audio.size();
        if (const Status read = append_file(folder.file("speech.wav"), audio); !read) {
            return read.error();
        }
        if (audio.size() == before) return Error{ErrorCode::damaged, "espeak-ng wrote no audio"};
    }
    return audio;
}

}  // namespace skedlark::accuracy
