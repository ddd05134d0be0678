#include "dsp/tone/pitch_grid.h"

#include <algorithm>
#include <cmath>

namespace skedlark::tone {
namespace {

// Rates of wander, hertz per root second: a rock-stable tone, a warming set, a set that steps or
// races.
constexpr std::array<double, kWanderRates> kWanderHz = {0.06, 0.4, 2.0};
// Chance per step of changing from one rate to the next higher, and back.
constexpr double kFaster = 0.003;
constexpr double kSlower = 0.01;
// In the fastest rate some steps are jumps of up to this many cells (4 Hz).
constexpr int kStepCells = 8;
constexpr double kStepChance = 0.02;
// Rows overlap by four fifths: each brings only this share of its evidence anew. Tried .25 to .6.
constexpr double kNewShare = 0.4;
// Keying side bands and a note that is not pure count as noise of this share of the line's own
// power.
constexpr double kImpurity = 1.0 / 5.5;
constexpr int kImpurityReach = 31;  // cells: 15 Hz
static_assert(kImpurityReach == 31, "strongest_near() doubles its reach up to 32 cells");
// Chance that a row of a tone that is there holds any of it (a word gap may fill a row).
constexpr double kRowHoldsTone = 0.6;
// Presence decays and returns at these chances per step.
constexpr double kPresenceChange = 0.02;

double tone_ratio(double ratio) {
    // Exponential with mean 1 without a tone; with one of fading or keyed level, mean 1 + s.
    constexpr std::array<double, 3> kLevels = {3.0, 12.0, 50.0};
    double sum = 0.0;
    for (const double s : kLevels) sum += std::exp(ratio * s / (1.0 + s)) / (1.0 + s);
    return sum / static_cast<double>(kLevels.size());
}

}  // namespace

double tone_log_ratio(double ratio) { return std::log(tone_ratio(ratio)); }

PitchGrid::PitchGrid(double start_hz, double start_error_hz)
    : scratch_(kCells), gain_(kCells), near_(kCells + 2 * kImpurityReach) {
    for (auto& row : mass_) row.assign(kCells, 0.0);
    mass_[0][0] = 0.5;
    mass_[1][0] = 0.35;
    mass_[2][0] = 0.15;
    jump_to(start_hz, start_error_hz);
}

std::array<double, kWanderRates> PitchGrid::rate_odds() const noexcept {
    std::array<double, kWanderRates> odds{};
    for (std::size_t rate = 0; rate < odds.size(); ++rate)
        for (const double mass : mass_[rate]) odds[rate] += mass;
    return odds;
}

void PitchGrid::jump_to(double hz, double error_hz) noexcept {
    const auto odds = rate_odds();
    middle_cell_ = static_cast<int>(std::lround(hz / kEvidenceCellHz));
    const double error_cells = std::max(error_hz / kEvidenceCellHz, 0.5);
    const double offset = hz / kEvidenceCellHz - middle_cell_;
    double sum = 0.0;
    for (int cell = 0; cell < kCells; ++cell) {
        const double away = (cell - kGridReach - offset) / error_cells;
        scratch_[static_cast<std::size_t>(cell)] = std::exp(-0.5 * away * away);
        sum += scratch_[static_cast<std::size_t>(cell)];
    }
    for (std::size_t rate = 0; rate < mass_.size(); ++rate)
        for (std::size_t cell = 0; cell < scratch_.size(); ++cell)
            mass_[rate][cell] = odds[rate] * scratch_[cell] / sum;
    pitch_hz_ = hz;
    spread_hz_ = error_hz;
    presence_ = 0.5;
}

void PitchGrid::step(std::span<const float> ratio) noexcept {
    predict();
    weigh(ratio);
    read_out();
    recentre();
}

void PitchGrid::predict() noexcept {
    for (std::size_t cell = 0; cell < kCells; ++cell) {
        const double slow = mass_[0][cell];
        const double middle = mass_[1][cell];
        const double fast = mass_[2][cell];
        mass_[0][cell] = slow * (1.0 - kFaster) + middle * kSlower;
        mass_[1][cell] = middle * (1.0 - kFaster - kSlower) + slow * kFaster + fast * kSlower;
        mass_[2][cell] = fast * (1.0 - kSlower) + middle * kFaster;
    }
    // Where no tone is heard there is nothing to follow: let the pitch stand, or a neighbour would
    // be reached by and by.
    const double alive = presence_ * presence_;
    for (std::size_t rate = 0; rate < mass_.size(); ++rate) {
        const double step_hz = kWanderHz[rate] * std::sqrt(kPitchStep / kWorkRateHz);
        const double variance = std::pow(step_hz / kEvidenceCellHz, 2.0) * (0.05 + 0.95 * alive);
        // A walk of equal thirds: repeated three-tap smoothing, exact in variance.
        const int passes = std::max(1, static_cast<int>(std::ceil(variance / 0.5)));
        const double side = 0.5 * variance / passes;
        auto& row = mass_[rate];
        for (int pass = 0; pass < passes; ++pass) {
            double before = row[0];
            for (std::size_t cell = 0; cell < kCells; ++cell) {
                const double here = row[cell];
                const double after = cell + 1 < kCells ? row[cell + 1] : here;
                row[cell] = here + side * (before - 2.0 * here + after);
                before = here;
            }
        }
    }
    auto& row = mass_.back();
    const double spread = kStepChance * alive;
    for (int cell = 0; cell < kCells; ++cell) {
        const int from = std::max(0, cell - kStepCells);
        const int to = std::min(kCells - 1, cell + kStepCells);
        double near = 0.0;
        for (int other = from; other <= to; ++other) near += row[static_cast<std::size_t>(other)];
        scratch_[static_cast<std::size_t>(cell)] =
            (1.0 - spread) * row[static_cast<std::size_t>(cell)] +
            spread * near / (2 * kStepCells + 1);
    }
    row.swap(scratch_);
}

// Brings to each place the largest of 2 * kImpurityReach + 1 values from there on.
void PitchGrid::strongest_near() noexcept {
    const std::size_t all = near_.size();
    for (std::size_t span = 1; span <= kImpurityReach / 2 + 1; span *= 2)
        for (std::size_t at = 0; at + span < all; ++at)
            near_[at] = std::max(near_[at], near_[at + span]);
    for (std::size_t at = 0; at < kCells; ++at)
        near_[at] = std::max(near_[at], near_[at + kImpurityReach]);
}

void PitchGrid::weigh(std::span<const float> ratio) noexcept {
    const auto ratio_at = [&](int cell) {
        return cell >= 0 && cell < static_cast<int>(ratio.size())
                   ? ratio[static_cast<std::size_t>(cell)]
                   : 0.0F;
    };
    const int first = middle_cell_ - kGridReach - kImpurityReach;
    for (std::size_t at = 0; at < near_.size(); ++at)
        near_[at] = ratio_at(first + static_cast<int>(at));
    strongest_near();
    double with_tone = 0.0;
    double all = 0.0;
    const double holds = kRowHoldsTone * presence_;
    for (int cell = 0; cell < kCells; ++cell) {
        const auto at = static_cast<std::size_t>(cell);
        const auto here = static_cast<double>(ratio_at(middle_cell_ - kGridReach + cell));
        const double pure = here / (1.0 + kImpurity * static_cast<double>(near_[at]));
        const double likelier = tone_ratio(pure);
        const double mass = mass_[0][at] + mass_[1][at] + mass_[2][at];
        with_tone += mass * ((1.0 - kRowHoldsTone) + kRowHoldsTone * likelier);
        all += mass;
        gain_[at] = std::pow(1.0 - holds + holds * likelier, kNewShare);
    }
    double sum = 0.0;
    for (auto& row : mass_)
        for (std::size_t cell = 0; cell < kCells; ++cell) {
            row[cell] *= gain_[cell];
            sum += row[cell];
        }
    for (auto& row : mass_)
        for (double& mass : row) mass /= sum;
    const double likelier = std::pow(with_tone / all, kNewShare);
    const double kept = presence_ * (1.0 - kPresenceChange) + (1.0 - presence_) * kPresenceChange;
    presence_ = kept * likelier / (kept * likelier + 1.0 - kept);
}

void PitchGrid::read_out() noexcept {
    int best = 0;
    for (int cell = 0; cell < kCells; ++cell) {
        const auto at = static_cast<std::size_t>(cell);
        gain_[at] = mass_[0][at] + mass_[1][at] + mass_[2][at];
        if (gain_[at] > gain_[static_cast<std::size_t>(best)]) best = cell;
    }
    constexpr int kReach = 6;  // 3 Hz: a second hump further away is another hypothesis
    double sum = 0.0;
    double first = 0.0;
    double second = 0.0;
    for (int cell = std::max(0, best - kReach); cell <= std::min(kCells - 1, best + kReach);
         ++cell) {
        const double mass = gain_[static_cast<std::size_t>(cell)];
        sum += mass;
        first += mass * (cell - best);
        second += mass * (cell - best) * (cell - best);
    }
    double mean = first / sum;
    // Where all mass stands in a cell or two, their logarithms still form a parabola.
    if (second / sum - mean * mean < 0.5 && best > 0 && best + 1 < kCells) {
        const auto at = static_cast<std::size_t>(best);
        const double below = std::log(gain_[at - 1] + 1e-300);
        const double here = std::log(gain_[at] + 1e-300);
        const double above = std::log(gain_[at + 1] + 1e-300);
        const double bend = below - 2.0 * here + above;
        if (bend < 0.0) mean = std::clamp(0.5 * (below - above) / bend, -0.5, 0.5);
    }
    pitch_hz_ = (middle_cell_ - kGridReach + best + mean) * kEvidenceCellHz;
    spread_hz_ = std::sqrt(std::max(0.0, second / sum - mean * mean)) * kEvidenceCellHz;
}

void PitchGrid::recentre() noexcept {
    const int shift = static_cast<int>(std::lround(pitch_hz_ / kEvidenceCellHz)) - middle_cell_;
    if (std::abs(shift) < kGridReach / 8) return;
    for (auto& row : mass_) {
        std::fill(scratch_.begin(), scratch_.end(), 0.0);
        for (int cell = 0; cell < kCells; ++cell) {
            const int to = cell - shift;
            if (to >= 0 && to < kCells)
                scratch_[static_cast<std::size_t>(to)] = row[static_cast<std::size_t>(cell)];
        }
        row.swap(scratch_);
    }
    middle_cell_ += shift;
}

}  // namespace skedlark::tone
