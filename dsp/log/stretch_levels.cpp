#include "dsp/log/stretch_levels.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>
#include <optional>
#include <vector>

#include "dsp/tone/baseband.h"
#include "dsp/tone/follower.h"

namespace skedlark::log {

namespace {

// Share of the time the key is down in ordinary text, and how far texts and hands differ: the word
// PARIS has 22 of 50 units. Decides only where the tone is too weak to tell it.
constexpr double kUsualInverseShare = 1.0 / 0.44;
constexpr double kInverseShareSpread = 0.08 / (0.44 * 0.44);
// The follower needs so long to know pitch and noise.
constexpr double kSettleS = 10.0;

Error refused(const std::string& why) { return {ErrorCode::invalid_value, why}; }

// Sums over frames; those of several blocks add up.
struct Sums {
    double weight = 0.0;
    double power = 0.0;         // weight * (p - v)
    double square = 0.0;        // weight * (p^2 - 4 p v + 2 v^2)
    double square_error = 0.0;  // variance of the last by noise alone
    double noise = 0.0;
    double frames = 0.0;

    void add(const tone::BasebandFrame& frame) {
        const auto v = static_cast<double>(frame.noise_variance);
        if (!frame.has_level() || !(v > 0.0)) return;
        const auto p = static_cast<double>(std::norm(frame.z));
        const double w = 1.0 / (v * v);  // frames in a crash say little
        weight += w;
        power += w * (p - v);
        square += w * (p * p - 4.0 * p * v + 2.0 * v * v);
        square_error += w * w * 4.0 * std::pow(v, 4.0);
        noise += v;
        frames += 1.0;
    }
    void add(const Sums& other, double sign) {
        weight += sign * other.weight;
        power += sign * other.power;
        square += sign * other.square;
        square_error += sign * other.square_error;
        noise += sign * other.noise;
        frames += sign * other.frames;
    }
};

struct Estimate {
    double signal_db = 0.0;
    double noise_db = 0.0;
    double usual_share_db = 0.0;  // standard deviation that the usual share brings in
};

std::optional<Estimate> estimate(const Sums& sums) {
    if (sums.weight <= 0.0 || sums.frames < 1.0) return std::nullopt;
    const double mean = sums.power / sums.weight;
    if (mean <= 0.0) return std::nullopt;
    const double measured = sums.square / sums.weight / (mean * mean);
    const double measured_variance = sums.square_error / std::pow(sums.weight * mean * mean, 2.0);
    const double usual_variance = kInverseShareSpread * kInverseShareSpread;
    const double to_usual = measured_variance / (measured_variance + usual_variance);
    const double inverse_share =
        std::clamp(measured + to_usual * (kUsualInverseShare - measured), 1.0, 50.0);
    Estimate result;
    result.signal_db = db_from_power(mean * inverse_share);
    const double density = sums.noise / sums.frames / (2.0 * tone::baseband_noise_hz());
    // A tone of amplitude a has the power a^2 / 2; 0 dBFS is a sine of peak 1.
    result.noise_db = db_from_power(2.0 * density * kReferenceBandwidthHz);
    result.usual_share_db = 10.0 / std::log(10.0) * to_usual * kInverseShareSpread / inverse_share;
    return result;
}

double sum_of_squares(const std::vector<double>& values) {
    double mean = 0.0;
    for (const double value : values) mean += value / static_cast<double>(values.size());
    double squares = 0.0;
    for (const double value : values) squares += (value - mean) * (value - mean);
    return squares;
}

// values: the estimate without each block in turn.
double half_width(const std::vector<double>& values, double extra_sd_db) {
    const auto blocks = static_cast<double>(values.size());
    const double variance = (blocks - 1.0) / blocks * sum_of_squares(values);
    const boost::math::students_t student(blocks - 1.0);
    return std::hypot(quantile(student, 0.975) * std::sqrt(variance), 1.96 * extra_sd_db);
}

std::vector<Sums> blocks_of(std::span<const tone::BasebandFrame> frames) {
    const auto shortest = static_cast<std::size_t>(tone::frames_from_seconds(kShortestBlockS));
    const std::size_t count = std::clamp<std::size_t>(frames.size() / shortest, 1, kMostBlocks);
    std::vector<Sums> blocks(count);
    for (std::size_t i = 0; i < frames.size(); ++i) {
        blocks[i * count / frames.size()].add(frames[i]);
    }
    return blocks;
}

Level change(const Level& before, const Level& after) {
    return {after.value_db - before.value_db,
            std::hypot(before.half_width_95_db, after.half_width_95_db)};
}

}  // namespace

bool StretchComparison::is_clear(const Level& change) {
    return std::abs(change.value_db) > change.half_width_95_db;
}

Result<StretchLevels> levels_of_frames(std::span<const tone::BasebandFrame> frames) {
    std::vector<Sums> blocks = blocks_of(frames);
    std::erase_if(blocks, [](const Sums& block) { return block.frames < 1.0; });
    Sums all;
    for (const Sums& block : blocks) all.add(block, 1.0);
    const double heard_s = all.frames / tone::kBasebandRateHz;
    if (heard_s < kShortestStretchS - 1.0 || blocks.size() < 3) {
        return refused(fmt::format("{:.1f} s of audio in the stretch; allowed: {} s or more",
                                   heard_s, kShortestStretchS));
    }
    const auto whole = estimate(all);
    std::vector<double> signals, noises, ratios;
    for (const Sums& block : blocks) {
        Sums rest = all;
        rest.add(block, -1.0);
        const auto without = estimate(rest);
        if (!whole || !without) return refused("no tone stands out of the noise in the stretch");
        signals.push_back(without->signal_db);
        noises.push_back(without->noise_db);
        ratios.push_back(without->signal_db - without->noise_db);
    }
    StretchLevels levels;
    levels.seconds = heard_s;
    levels.signal_dbfs = {whole->signal_db, half_width(signals, whole->usual_share_db)};
    levels.noise_dbfs = {whole->noise_db, half_width(noises, 0.0)};
    levels.snr_2500hz_db = {whole->signal_db - whole->noise_db,
                            half_width(ratios, whole->usual_share_db)};
    return levels;
}

Result<StretchLevels> levels_of_audio(std::span<const float> audio, double pitch_hz,
                                      FrameIndex lead_frames) {
    auto follower = tone::Follower::create({.pitch_hz = pitch_hz, .pitch_error_hz = 5.0});
    if (!follower) return follower.error();
    std::vector<tone::BasebandFrame> frames;
    const auto settle = std::min(audio.size(), static_cast<std::size_t>(kSettleS * kWorkRateHz));
    follower->process(audio.first(settle), frames);
    frames.clear();
    follower->restart_keeping_pitch(0);
    // A piece at a time: the frames after a jump of pitch come again and replace those given out.
    constexpr std::size_t kPiece = 800;
    for (std::size_t at = 0; at < audio.size(); at += kPiece) {
        follower->process(audio.subspan(at, std::min(kPiece, audio.size() - at)), frames);
        for (const tone::BasebandFrame& revised : follower->revised_frames()) {
            const auto old = std::lower_bound(
                frames.begin(), frames.end(), revised.at_frame,
                [](const auto& frame, FrameIndex index) { return frame.at_frame < index; });
            if (old != frames.end() && old->at_frame == revised.at_frame) *old = revised;
        }
    }
    const auto first = std::find_if(frames.begin(), frames.end(), [&](const auto& frame) {
        return frame.at_frame >= lead_frames;
    });
    return levels_of_frames(
        std::span(frames).subspan(static_cast<std::size_t>(first - frames.begin())));
}

StretchComparison compare(const StretchLevels& before, const StretchLevels& after) {
    return {before, after, change(before.signal_dbfs, after.signal_dbfs),
            change(before.noise_dbfs, after.noise_dbfs),
            change(before.snr_2500hz_db, after.snr_2500hz_db)};
}

}  // namespace skedlark::log
