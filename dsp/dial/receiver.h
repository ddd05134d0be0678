// What is known of a receiver: its dial, its bands with their charts, how it is listened to.
//
// Stage:   dial. In: a receiver file (receiver_file.h), or a chart being made. Out: to Dial.
// Units:   divisions of the dial, megahertz, hertz for what is heard.
// Shape:   points of a band by rising division; their frequencies only rise or only fall.
// Time:    none.
// Errors:  check() returns invalid_value naming field, value and what is allowed.
// Threads: values.
// Source:  none; the ranges hold what small receivers have.
// Checked: tests/dsp/dial/receiver_test.cpp
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "dsp/core/result.h"

namespace skedlark::dial {

inline constexpr double kMinDiv = -10000.0;
inline constexpr double kMaxDiv = 10000.0;
inline constexpr double kMinMhz = 0.01;
inline constexpr double kMaxMhz = 1000.0;
inline constexpr std::size_t kMinPoints = 3;
inline constexpr std::size_t kMaxPoints = 1000;
inline constexpr std::size_t kMaxBands = 50;

struct ChartPoint {
    double div = 0.0;
    double mhz = 0.0;
    int line = 0;  // in its file; 0: not from a file
};

struct Band {
    std::string name{};
    double from_mhz = 0.0;  // 0.01 to below to_mhz
    double to_mhz = 0.0;    // up to 1000
    std::vector<ChartPoint> points{};
    // Standard deviation of the chart itself, 0 to 100 divisions; empty: taken from its residuals.
    std::optional<double> chart_sd_div{};
    int line = 0;
};

// Where a wanted station stands against zero beat when it is listened to.
enum class ListenSide { above, below };

struct BeatOscillator {
    // Zero beat lies this far above the frequency the chart gives, -20000 to 20000 Hz. 0 where the
    // chart was made at zero beat; where it was made with the station in the middle of the filter,
    // it is how far the beat oscillator stands from there.
    double zero_beat_offset_hz = 0.0;
    ListenSide listen = ListenSide::above;
};

struct ReceiverAudio {
    double pitch_hz = 700.0;  // listening pitch, low_hz to high_hz
    double low_hz = 300.0;    // passband, 20 to below high_hz
    double high_hz = 3000.0;  // to 20000
};

struct Receiver {
    std::string name{};
    double from_div = 0.0;        // ends of the scale
    double to_div = 100.0;        // above from_div
    double reading_sd_div = 0.1;  // standard deviation of a setting, 0.001 to 10
    BeatOscillator beat{};
    ReceiverAudio audio{};
    std::vector<Band> bands{};
};

// Names are one line of 1 to 60 printable characters.
[[nodiscard]] Status check(const Receiver& receiver);
[[nodiscard]] Status check_band(const Receiver& receiver, const Band& band);

// "2 (3.05 to 6.1 MHz), 3 (5.9 to 12.2 MHz)"
[[nodiscard]] std::string bands_in_words(const Receiver& receiver);

}  // namespace skedlark::dial
