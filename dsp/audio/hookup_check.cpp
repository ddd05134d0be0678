#include "dsp/audio/hookup_check.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "dsp/audio/mains_hum.h"
#include "dsp/audio/source.h"

namespace skedlark::audio {
namespace {

constexpr double kShortestS = 1.0;
constexpr double kHumStretchS = 8.0;
constexpr double kFloorDb = -200.0;
// Our choices, see the header. A crash of static may touch full scale now and then.
constexpr double kOffsetTold = 0.02;
constexpr double kHumMattersDb = -10.0;      // all lines, against the rest
constexpr double kHighHumMattersDb = -20.0;  // a line near the notes, against the rest
constexpr double kHighHumFromHz = 200.0;
// Flat tops below full scale were clipped before the computer: this many equal samples at the very
// peak, and the peak not so small that rounding makes them equal.
constexpr int kFlatSamples = 3;
constexpr float kFlatFrom = 0.05F;

double dbfs(double mean_square) {
    return std::max(kFloorDb, 10.0 * std::log10(2.0 * mean_square + 1e-30));
}

double clipped_share(std::span<const float> audio, float low, float high) {
    std::size_t clipped = 0;
    for (std::size_t at = 0; at < audio.size();) {
        std::size_t end = at + 1;
        while (end < audio.size() && audio[end] == audio[at]) ++end;
        const float x = audio[at];
        const bool flat =
            end - at >= kFlatSamples && (x == low || x == high) && std::fabs(x) >= kFlatFrom;
        if (flat || std::fabs(x) >= kFullScale) clipped += end - at;
        at = end;
    }
    return static_cast<double>(clipped) / static_cast<double>(audio.size());
}

void judge_level(HookupReport& report, bool constant) {
    if (constant) {
        report.level = LevelVerdict::no_signal;
        report.advice.push_back(
            "No signal at all: check that the right input is chosen, that it is not muted, and "
            "that "
            "the plug sits.");
    } else if (report.clipped_share > kClippedShare) {
        report.level = LevelVerdict::clipping;
        report.advice.push_back(fmt::format(
            "Clipping ({:.2f} % of the samples): turn the level down, at the set first, "
            "or put an attenuator in the line.",
            100.0 * report.clipped_share));
    } else if (report.rms_dbfs < kTooLowDbfs) {
        report.level = LevelVerdict::too_low;
        report.advice.push_back(fmt::format(
            "Level too low ({:.0f} dBFS, at least {:.0f} is needed): turn up the set or "
            "the input gain, and use the line input.",
            report.rms_dbfs, kTooLowDbfs));
    } else {
        report.level = LevelVerdict::good;
        report.advice.push_back(
            report.peak_dbfs > kNearlyFullDbfs
                ? fmt::format("Level good, but the peaks ({:.1f} dBFS) come close to clipping: a "
                              "little less leaves room for static.",
                              report.peak_dbfs)
                : fmt::format("Level good ({:.0f} dBFS).", report.rms_dbfs));
    }
}

void judge_hum(HookupReport& report, const MainsHum& hum, double mean_square) {
    if (hum.lines.empty()) return;
    const double rest = std::max(mean_square - hum.power, 1e-20);
    report.hum_found = true;
    report.mains_hz = hum.mains_hz;
    report.hum_dbfs = dbfs(hum.power);
    report.hum_to_rest_db = 10.0 * std::log10(hum.power / rest);
    report.hum_matters = report.hum_to_rest_db > kHumMattersDb;
    for (const MainsHum::Line& line : hum.lines) {
        report.lines.push_back({line.frequency_hz, dbfs(line.power)});
        const bool near_notes = line.frequency_hz >= kHighHumFromHz &&
                                10.0 * std::log10(line.power / rest) > kHighHumMattersDb;
        report.hum_matters = report.hum_matters || near_notes;
    }
    if (report.hum_matters) {
        report.advice.push_back(fmt::format(
            "Mains hum at {:.2f} Hz and its multiples ({:.0f} dBFS, {:+.0f} dB against the rest): "
            "probably a ground loop; an isolating audio transformer in the line breaks it, running "
            "the computer from its battery shows whether it is one.",
            report.mains_hz, report.hum_dbfs, report.hum_to_rest_db));
    } else {
        report.advice.push_back(
            fmt::format("A little mains hum at {:.2f} Hz ({:+.0f} dB against "
                        "the rest), too weak to matter.",
                        report.mains_hz, report.hum_to_rest_db));
    }
}

}  // namespace

Result<HookupReport> check_hookup(std::span<const float> audio, double sample_rate_hz) {
    if (!(sample_rate_hz >= kMinSampleRateHz && sample_rate_hz <= kMaxSampleRateHz)) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("sample rate {} Hz is outside {} to {} Hz", sample_rate_hz,
                                 kMinSampleRateHz, kMaxSampleRateHz)};
    }
    HookupReport report;
    report.seconds = static_cast<double>(audio.size()) / sample_rate_hz;
    if (report.seconds < kShortestS) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("{:.2f} s of sound are too short to judge; {} s and more are needed",
                        report.seconds, kShortestS)};
    }
    double sum = 0.0;
    for (const float x : audio) sum += static_cast<double>(x);
    report.dc_offset = sum / static_cast<double>(audio.size());
    double squares = 0.0;
    for (const float x : audio) {
        const double swing = static_cast<double>(x) - report.dc_offset;
        squares += swing * swing;
    }
    const double mean_square = squares / static_cast<double>(audio.size());
    const auto [low, high] = std::minmax_element(audio.begin(), audio.end());
    const double peak =
        std::max(std::fabs(static_cast<double>(*low)), std::fabs(static_cast<double>(*high)));
    report.peak_dbfs = std::max(kFloorDb, 20.0 * std::log10(peak + 1e-15));
    const bool constant = *low == *high;
    report.rms_dbfs = constant ? kFloorDb : dbfs(mean_square);
    report.clipped_share = constant ? 0.0 : clipped_share(audio, *low, *high);
    judge_level(report, constant);
    if (!constant) {
        const auto longest = static_cast<std::size_t>(kHumStretchS * sample_rate_hz);
        std::vector<float> centred(
            audio.end() - static_cast<std::ptrdiff_t>(std::min(longest, audio.size())),
            audio.end());
        for (float& x : centred) x -= static_cast<float>(report.dc_offset);
        judge_hum(report, find_mains_hum(centred, sample_rate_hz), mean_square);
    }
    if (std::fabs(report.dc_offset) > kOffsetTold) {
        report.advice.push_back(fmt::format(
            "The input adds a constant offset of {:.1f} % of full scale: it does not harm "
            "copying but takes room; another input or sound card has less.",
            100.0 * report.dc_offset));
    }
    return report;
}

}  // namespace skedlark::audio
