// The signals that copying is judged on, one row each.
//
// Stage:   tests. In: row, SNR, seed. Out: the scene to make.
// Units:   dB in 2500 Hz, words a minute.
// Errors:  none.
// Threads: none. Rule: text, hand, pitch, level, phase and noise all come from the seed, so that a
//          row is not one signal in much noise but many signals.
// Checked: tests/accuracy/copy_rows_test.cpp
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "dsp/synth/scene.h"

namespace skedlark::accuracy {

struct CopyRow {
    std::string name;
    std::string fist = "machine";
    double speed_wpm = 20.0;
    std::string channel{};           // empty: none
    std::vector<double> reach_db{};  // where a rate is asked for: always measured, at full length
    // What else is done to the scene; may be empty.
    void (*disturb)(synth::SceneConfig&) = nullptr;
};

// Rows measured against SNR, and rows measured only where a rate is asked for.
[[nodiscard]] std::vector<CopyRow> curve_rows();
[[nodiscard]] std::vector<CopyRow> channel_rows();

// What is sent: five-letter groups, or invented plain sentences.
enum class SentText : std::uint8_t { groups, plain };

[[nodiscard]] synth::SceneConfig scene_of(const CopyRow& row, double snr_2500hz_db, int characters,
                                          std::uint64_t seed, SentText text = SentText::groups);

}  // namespace skedlark::accuracy
