// One sending as the page keeps it: its audio, what was meant, what it was graded.
//
// Stage:   gui/fist, no Qt. In: audio of the hub, a sound file, or a key's own marks. Out: Attempt.
// Units:   work-rate frames and seconds from the attempt's start; hertz.
// Shape:   up to kLongestAttemptS.
// Time:    grading takes some three hundredths of the attempt's length.
// Errors:  what cannot be read is an Error of read_attempt(); what cannot be graded stands in failure.
// Threads: grade_attempt() and read_attempt() may run anywhere; `stop` ends a reading early.
// Source:  none
// Checked: tests/desk/fist/attempt_test.cpp
#pragma once

#include <atomic>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "dsp/core/utc.h"
#include "dsp/fist/grading.h"
#include "dsp/fist/key_line.h"

namespace skedlark::gui {

inline constexpr double kLongestAttemptS = 1800.0;  // 58 MB of audio

using MeantText = std::vector<std::optional<morse::Symbol>>;

struct Attempt {
    std::string input{};  // a device, a file, or "key"
    bool of_key = false;  // a key's own marks, no audio
    UtcTime started{};
    std::vector<float> audio{};
    std::vector<fist::LostStretch> lost{};
    bool cut_off = false;  // longer than is kept
    std::vector<float> key_audio{};
    MeantText text{};  // empty: not known
    std::optional<double> pitch_hz{};
    std::optional<fist::Grade> grade{};
    std::string failure{};  // why there is no grade
    std::optional<fist::KeyComparison> key{};
    std::string key_failure{};

    // As much of it as there is.
    [[nodiscard]] std::vector<float> stretch(double from_s, double to_s) const;
};
using AttemptPtr = std::shared_ptr<const Attempt>;

// Grade and key comparison of what was heard, put in place of those it had.
void grade_attempt(Attempt& attempt);
// The same of marks that a key made.
[[nodiscard]] Attempt attempt_of_key(const std::vector<fist::KeyMark>& marks, double edge_sd_s,
                                     const MeantText& text, UtcTime started);

struct FileToGrade {
    std::string path{};
    int channel = 1;      // counted from 1; 0: the mean of all
    int key_channel = 0;  // 0: none
};
[[nodiscard]] Result<Attempt> read_attempt(const FileToGrade& file, const std::atomic<bool>& stop);

}  // namespace skedlark::gui
