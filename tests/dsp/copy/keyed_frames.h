// Baseband frames of keyed tones, made directly: key state by frame times a phasor, plus noise.
//
// Stage:   tests. Made from the code table and the rule 1 3 1 3 7 (ITU-R M.1677-1) alone, with no
//          code of the stage under test.
// Units:   seconds; noise variance 1, so key-down amplitude^2 = 10^(snr/10) * 2500 / 200.
// Shape:   a frame that the key is down for in part carries that part of the amplitude.
#pragma once

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "dsp/core/units.h"
#include "dsp/morse/code_table.h"
#include "dsp/tone/frame.h"

namespace skedlark::test {

[[nodiscard]] inline double amplitude_of(double snr_2500hz_db) {
    return std::sqrt(std::pow(10.0, 0.1 * snr_2500hz_db) * 2500.0 / 200.0);
}

[[nodiscard]] inline std::complex<float> noise(std::mt19937_64& random) {
    std::normal_distribution<float> normal(0.0F, static_cast<float>(std::numbers::sqrt2 / 2.0));
    const float real = normal(random);
    return {real, normal(random)};
}

// Frames with this key-down amplitude at each, phase held, noise of variance 1.
[[nodiscard]] inline std::vector<tone::BasebandFrame> frames_of(
    const std::vector<double>& amplitudes, std::mt19937_64& random) {
    const double phase = std::uniform_real_distribution<>(0.0, 2.0 * std::numbers::pi)(random);
    std::vector<tone::BasebandFrame> frames(amplitudes.size());
    for (std::size_t i = 0; i < frames.size(); ++i) {
        frames[i].z = std::complex<float>(std::polar(amplitudes[i], phase)) + noise(random);
        frames[i].at_frame = static_cast<FrameIndex>(i) * tone::kWorkFramesPerBaseband +
                             tone::kWorkFramesPerBaseband / 2;
    }
    return frames;
}

// A key that goes down and up at stated times.
class Keying {
 public:
    struct Stretch {
        std::string text;
        double from_s = 0.0, to_s = 0.0;
    };

    void up(double seconds) { now_s_ += seconds; }
    void down(double seconds) {
        marks_.push_back({"", now_s_, now_s_ + seconds});
        now_s_ += seconds;
    }
    // Text of characters of the table, one blank between words; ends with a word gap.
    void send(std::string_view text, double wpm) {
        const double dot_s = 1.2 / wpm;
        for (const char c : text) {
            if (c == ' ') {
                now_s_ += 4.0 * dot_s;
                continue;
            }
            const double from_s = now_s_;
            for (const char element : morse::find_by_text(std::string(1, c))->elements) {
                down(element == '.' ? dot_s : 3.0 * dot_s);
                up(dot_s);
            }
            characters_.push_back({std::string(1, c), from_s, now_s_ - dot_s});
            up(2.0 * dot_s);
        }
        up(4.0 * dot_s);
    }

    [[nodiscard]] double now_s() const { return now_s_; }
    [[nodiscard]] const std::vector<Stretch>& marks() const { return marks_; }
    [[nodiscard]] const std::vector<Stretch>& characters() const { return characters_; }
    // Share of each frame that the key is down, 0 to 1.
    [[nodiscard]] std::vector<double> shares() const {
        std::vector<double> out(
            static_cast<std::size_t>(std::ceil(now_s_ * tone::kBasebandRateHz)));
        for (const Stretch& mark : marks_) {
            const double from = mark.from_s * tone::kBasebandRateHz;
            const double to = mark.to_s * tone::kBasebandRateHz;
            for (auto i = static_cast<std::size_t>(from); i < out.size(); ++i) {
                const auto left = static_cast<double>(i);
                if (left >= to) {
                    break;
                }
                out[i] += std::max(0.0, std::min(to, left + 1.0) - std::max(from, left));
            }
        }
        return out;
    }
    [[nodiscard]] std::vector<tone::BasebandFrame> frames(double snr_2500hz_db,
                                                          std::mt19937_64& random) const {
        std::vector<double> amplitudes = shares();
        for (double& a : amplitudes) {
            a *= amplitude_of(snr_2500hz_db);
        }
        return frames_of(amplitudes, random);
    }

 private:
    double now_s_ = 0.0;
    std::vector<Stretch> marks_, characters_;
};

// Groups of five letters or figures, all equally likely, so that context helps nobody.
[[nodiscard]] inline std::string random_groups(int groups, std::mt19937_64& random) {
    constexpr std::string_view kAll = "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789";
    std::uniform_int_distribution<std::size_t> pick(0, kAll.size() - 1);
    std::string text;
    for (int g = 0; g < groups; ++g) {
        text += g > 0 ? " " : "";
        for (int i = 0; i < 5; ++i) {
            text += kAll[pick(random)];
        }
    }
    return text;
}

}  // namespace skedlark::test
