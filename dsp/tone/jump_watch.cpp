#include "dsp/tone/jump_watch.h"

#include <algorithm>
#include <cmath>

namespace skedlark::tone {
namespace {

// A row in which the tone is heard exceeds this; noise does so in one row and cell of 3000.
constexpr double kHeardRatio = 8.0;
// The tone must be so clear that its absence over kSilentSteps rows means something.
constexpr double kClearRatio = 14.0;
// 0.9 s: longer than the word gap of 10 wpm sending less the half second a row covers.
constexpr int kSilentSteps = 9;
// A knock takes no time: after a silence longer than this (steps) only drift explains a new place.
constexpr int kKnockSteps = 25;
constexpr double kDriftHzPerStep = 0.15;
constexpr double kDriftStartHz = 3.0;
constexpr float kRecentShare = 0.25F;  // leaky mean over four rows
constexpr float kBesideKept = 0.993F;  // memory of neighbours: 14 s
// Rows in which a place was heard beside the tone: up to five straddle a jump, so that both are in
// them.
constexpr float kBesideHeard = 6.5F;
constexpr double kNearHz = 15.0;     // own keying side bands reach this far
constexpr double kLevelRange = 6.0;  // the new place must be within this factor of the old level

}  // namespace

JumpWatch::JumpWatch(double reach_hz)
    : reach_cells_(static_cast<int>(std::lround(reach_hz / kEvidenceCellHz))),
      recent_(kEvidenceCells),
      beside_(kEvidenceCells) {}

void JumpWatch::reset() noexcept {
    std::fill(recent_.begin(), recent_.end(), 0.0F);
    std::fill(beside_.begin(), beside_.end(), 0.0F);
    typical_ = 0.0;
    heard_rows_ = 0;
    silent_steps_ = 0;
}

std::optional<Jump> JumpWatch::step(std::span<const float> ratio, double pitch_hz) noexcept {
    const int centre = static_cast<int>(std::lround(pitch_hz / kEvidenceCellHz));
    double at_tone = 0.0;
    for (int cell = std::max(0, centre - 8); cell <= std::min(kEvidenceCells - 1, centre + 8);
         ++cell)
        at_tone = std::max(at_tone, static_cast<double>(ratio[static_cast<std::size_t>(cell)]));
    const double needed = std::max(kHeardRatio, 0.1 * typical_);
    const bool heard = at_tone > needed;
    const int from = std::max(0, centre - reach_cells_);
    const int to = std::min(kEvidenceCells - 1, centre + reach_cells_);
    const int near = static_cast<int>(kNearHz / kEvidenceCellHz);
    const auto beside_from = static_cast<float>(std::max(kHeardRatio, 0.02 * at_tone));
    for (int cell = from; cell <= to; ++cell) {
        const auto at = static_cast<std::size_t>(cell);
        recent_[at] += kRecentShare * (ratio[at] - recent_[at]);
        beside_[at] *= kBesideKept;
        if (heard && std::abs(cell - centre) > near && ratio[at] > beside_from) beside_[at] += 1.0F;
    }
    if (heard) {
        silent_steps_ = 0;
        heard_rows_ = std::min(heard_rows_ + 1, 100);
        typical_ += (at_tone - typical_) / std::min(heard_rows_, 40);
        return std::nullopt;
    }
    ++silent_steps_;
    return judge(pitch_hz);
}

std::optional<Jump> JumpWatch::judge(double pitch_hz) noexcept {
    if (heard_rows_ < 10 || typical_ < kClearRatio || silent_steps_ < kSilentSteps)
        return std::nullopt;
    const int centre = static_cast<int>(std::lround(pitch_hz / kEvidenceCellHz));
    int reach = reach_cells_;
    if (silent_steps_ > kKnockSteps) {
        const double drift_hz = kDriftStartHz + kDriftHzPerStep * silent_steps_;
        reach = std::min(reach, static_cast<int>(drift_hz / kEvidenceCellHz));
    }
    int best = -1;
    for (int cell = std::max(1, centre - reach);
         cell <= std::min(kEvidenceCells - 2, centre + reach); ++cell) {
        const auto at = static_cast<std::size_t>(cell);
        float beside =
            0.0F;  // a line is a few cells wide, and a neighbour may have drifted a little
        for (int near = std::max(0, cell - 12); near <= std::min(kEvidenceCells - 1, cell + 12);
             ++near)
            beside = std::max(beside, beside_[static_cast<std::size_t>(near)]);
        if (beside > kBesideHeard) continue;
        if (best < 0 || recent_[at] > recent_[static_cast<std::size_t>(best)]) best = cell;
    }
    if (best < 0) return std::nullopt;
    const auto level = static_cast<double>(recent_[static_cast<std::size_t>(best)]);
    if (level < std::max(kClearRatio * 0.6, typical_ / kLevelRange) ||
        level > typical_ * kLevelRange)
        return std::nullopt;
    const Jump jump{best * kEvidenceCellHz, silent_steps_};
    std::fill(beside_.begin(), beside_.end(), 0.0F);
    silent_steps_ = 0;
    return jump;
}

}  // namespace skedlark::tone
