// What the audio tests share: a source that plays a script, temporary folders, sound files.
#pragma once

#include <gtest/gtest.h>
#include <stdlib.h>

#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <deque>
#include <filesystem>
#include <fstream>
#include <memory>
#include <numbers>
#include <random>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "dsp/audio/source.h"
#include "tests/support/seed.h"

namespace skedlark::audio::test {

// One seed for all of a test program; fixed, because a check with a chance of failing must fail or
// pass the same way each time. TEST_SEED tries others.
inline std::uint64_t seed() {
    static const std::uint64_t value = support::test_seed(1);
    return value;
}

inline std::vector<float> sine(double tone_hz, double rate_hz, std::size_t frames,
                               double peak = 0.5) {
    std::vector<float> out(frames);
    for (std::size_t i = 0; i < frames; ++i) {
        out[i] = static_cast<float>(
            peak * std::sin(2.0 * std::numbers::pi * tone_hz * static_cast<double>(i) / rate_hz));
    }
    return out;
}

inline std::vector<float> noise(std::size_t frames, double peak = 0.5) {
    std::mt19937_64 random(seed());
    std::uniform_real_distribution<float> value(-static_cast<float>(peak),
                                                static_cast<float>(peak));
    std::vector<float> out(frames);
    for (float& x : out) x = value(random);
    return out;
}

// Power of the difference over the power of `expected`, in dB, over the common inner part.
inline double error_db(const std::vector<float>& got, const std::vector<float>& expected,
                       std::size_t from, std::size_t to) {
    double wrong = 0.0;
    double right = 0.0;
    for (std::size_t i = from; i < to; ++i) {
        const double difference = static_cast<double>(got[i]) - static_cast<double>(expected[i]);
        wrong += difference * difference;
        right += static_cast<double>(expected[i]) * static_cast<double>(expected[i]);
    }
    return 10.0 * std::log10(wrong / right + 1e-30);
}

inline double rms_db(const std::vector<float>& x, std::size_t from, std::size_t to) {
    double sum = 0.0;
    for (std::size_t i = from; i < to; ++i) sum += std::pow(static_cast<double>(x[i]), 2.0);
    return 10.0 * std::log10(sum / static_cast<double>(to - from) + 1e-30);
}

// A folder of its own for each test, removed at the end.
class TempFolder {
 public:
    TempFolder() {
        std::string pattern = (std::filesystem::temp_directory_path() / "audio.XXXXXX").string();
        if (mkdtemp(pattern.data()) == nullptr) std::abort();
        path_ = pattern;
    }
    TempFolder(const TempFolder&) = delete;
    TempFolder& operator=(const TempFolder&) = delete;
    ~TempFolder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    [[nodiscard]] std::string file(const std::string& name) const {
        return (path_ / name).string();
    }
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

 private:
    std::filesystem::path path_;
};

inline void write_bytes(const std::string& path, const std::string& bytes) {
    std::ofstream(path, std::ios::binary).write(bytes.data(), std::ssize(bytes));
}
inline std::string read_bytes(const std::string& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream bytes;
    bytes << in.rdbuf();
    return bytes.str();
}

// One step of a scripted source: audio, a loss, or a pause without data.
struct Step {
    std::vector<float> audio{};
    FrameIndex lost_frames = 0;
    std::string lost_reason{};
};

class ScriptedSource final : public Source {
 public:
    ScriptedSource(double rate_hz, std::vector<Step> steps, std::optional<Error> last_error = {})
        : rate_hz_(rate_hz),
          steps_(steps.begin(), steps.end()),
          last_error_(std::move(last_error)) {}
    double sample_rate_hz() const override { return rate_hz_; }
    std::optional<FrameIndex> total_frames() const override { return std::nullopt; }
    std::string name() const override { return "script"; }
    bool is_live() const override { return true; }

 private:
    Result<ReadResult> do_read(std::span<float> out) override {
        ReadResult result;
        if (steps_.empty()) {
            if (last_error_) return *last_error_;
            result.end = true;
            result.first_frame = position_;
            return result;
        }
        Step& step = steps_.front();
        position_ += step.lost_frames;
        result.lost_frames = std::exchange(step.lost_frames, 0);
        result.lost_reason = std::exchange(step.lost_reason, "");
        result.first_frame = position_;
        const std::size_t count = std::min(out.size(), step.audio.size() - used_);
        std::copy_n(step.audio.begin() + static_cast<std::ptrdiff_t>(used_), count, out.begin());
        used_ += count;
        position_ += static_cast<FrameIndex>(count);
        result.frames = static_cast<int>(count);
        if (used_ == step.audio.size()) {
            steps_.pop_front();
            used_ = 0;
        }
        return result;
    }

    double rate_hz_;
    std::deque<Step> steps_;
    std::optional<Error> last_error_;
    std::size_t used_ = 0;
    FrameIndex position_ = 0;
};

// Everything a source gives, and what it said on the way.
struct Heard {
    std::vector<float> audio;
    std::vector<ReadResult> marks;  // blocks with a loss or a reason
    FrameIndex lost_frames = 0;
    FrameIndex flagged_frames = 0;
    std::optional<Error> error;
};

inline Heard read_all(Source& source, std::size_t block = 1000, std::uint64_t split_seed = 0) {
    Heard heard;
    std::mt19937_64 random(split_seed);
    std::vector<float> buffer(block);
    for (int calls = 0; calls < 100000000; ++calls) {
        const std::size_t size = split_seed == 0 ? block : random() % (block + 1);
        const auto result = source.read(std::span(buffer).first(size));
        if (!result) {
            heard.error = result.error();
            return heard;
        }
        heard.lost_frames += result->lost_frames;
        if (result->lost) heard.flagged_frames += result->frames;
        EXPECT_EQ(result->first_frame,
                  static_cast<FrameIndex>(heard.audio.size()) + heard.lost_frames);
        if (result->lost_frames > 0 || !result->lost_reason.empty()) heard.marks.push_back(*result);
        heard.audio.insert(heard.audio.end(), buffer.begin(), buffer.begin() + result->frames);
        if (result->end) return heard;
    }
    ADD_FAILURE() << "the source does not end";
    return heard;
}

}  // namespace skedlark::audio::test
