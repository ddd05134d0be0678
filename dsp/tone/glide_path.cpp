#include "dsp/tone/glide_path.h"

#include <algorithm>
#include <boost/math/special_functions/bessel.hpp>
#include <cmath>

#include "dsp/core/vector_clones.h"

namespace skedlark::tone {
namespace {

constexpr double kMarkPower = 3.5;  // of a mark over the noise in a look
constexpr double kMarkShare = 0.5;  // of the looks
constexpr float kBend = 1.5F;       // a change of rate by one step
constexpr double kOnTop = 0.15;     // of the logarithm of the power
constexpr float kTakenScore = -0.3F;

// next[i]: best of going on at the same rate or from the rates beside it.
SKEDLARK_VECTOR_CLONES
float best_of(const float* same, const float* slower, const float* faster, const float* score,
              float* next, int count) {
    float most = 0.0F;
    for (int i = 0; i < count; ++i) {
        const float beside = std::max(slower[i], faster[i]) - kBend;
        const float value = std::max(0.0F, std::max(same[i], beside)) + score[i];
        next[i] = value;
        most = std::max(most, value);
    }
    return most;
}

}  // namespace

GlideMask::GlideMask(std::int64_t first_row, std::int64_t end_row, int cells)
    : first_row_(first_row),
      end_row_(end_row),
      cells_(cells),
      taken_(static_cast<std::size_t>(end_row - first_row) * static_cast<std::size_t>(cells)) {}

void GlideMask::take(std::int64_t row, int cell, int reach) {
    if (row < first_row_ || row >= end_row_) return;
    const int middle = std::abs(cell);
    const int from = std::max(0, middle - reach);
    const int to = std::min(cells_ - 1, middle + reach);
    if (to < from) return;
    auto* cells = taken_.data() +
                  static_cast<std::size_t>(row - first_row_) * static_cast<std::size_t>(cells_);
    std::fill(cells + from, cells + to + 1, std::uint8_t{1});
}

const std::uint8_t* GlideMask::row(std::int64_t row) const {
    return taken_.data() +
           static_cast<std::size_t>(row - first_row_) * static_cast<std::size_t>(cells_);
}

bool GlideMask::taken(std::int64_t at, int cell) const {
    if (at < first_row_ || at >= end_row_ || std::abs(cell) >= cells_) return false;
    return row(at)[std::abs(cell)] != 0;
}

GlidePaths::GlidePaths(const GlidePathConfig& config, const GlideLooks& looks)
    : config_(config),
      cells_(looks.cells()),
      low_cell_(static_cast<int>(std::ceil(config.low_hz / looks.cell_hz()))),
      width_(2 * looks.cells() - 1),
      pad_(0) {
    for (const double rate : config_.rates_hz_per_s) {
        steps_per_row_.push_back(rate * looks.hop_s() / looks.cell_hz());
        pad_ = std::max(pad_, static_cast<int>(steps_per_row_.back()) + 2);
    }
    for (std::size_t q = 0; q < scores_.size(); ++q) {
        const double power = GlideLooks::power_of_step(static_cast<std::uint8_t>(q));
        const double root = 2.0 * std::sqrt(kMarkPower * power);
        const double mark = root < 100.0
                                ? std::exp(-kMarkPower) * boost::math::cyl_bessel_i(0, root)
                                : std::exp(100.0);
        const double score = std::log(1.0 - kMarkShare + kMarkShare * mark);
        // Where every cell about a strong station scores the most, its middle must still be best.
        scores_[q] = static_cast<float>(std::min(score, kMostScore + kOnTop * std::log(power)));
    }
    // A rate more at each end, where nothing ever is, and cells before the first likewise.
    const std::size_t states =
        (config_.rates_hz_per_s.size() + 2U) * static_cast<std::size_t>(width_ + pad_);
    before_.resize(states);
    now_.resize(states);
    looks_.resize(static_cast<std::size_t>(looks.rates()) * static_cast<std::size_t>(width_));
}

// Places run from the highest pitch above the beat oscillator to the highest below it.
void GlidePaths::score_row(const GlideLooks& looks, std::int64_t row, const GlideMask* mask) {
    const std::uint8_t* taken = mask != nullptr ? mask->row(row) : nullptr;
    for (int rate = 0; rate < looks.rates(); ++rate) {
        float* out =
            looks_.data() + static_cast<std::size_t>(rate) * static_cast<std::size_t>(width_);
        const auto falling = looks.row(row, rate, GlideWay::falling);
        const auto rising = looks.row(row, rate, GlideWay::rising);
        const int middle = cells_ - 1;
        for (int cell = low_cell_; cell < cells_; ++cell) {
            const auto at = static_cast<std::size_t>(cell);
            out[middle - cell] = scores_[falling[at]];
            out[middle + cell] = scores_[rising[at]];
        }
        if (taken == nullptr) continue;
        for (int cell = low_cell_; cell < cells_; ++cell) {
            if (taken[cell] == 0) continue;
            out[middle - cell] = std::min(out[middle - cell], kTakenScore);
            out[middle + cell] = std::min(out[middle + cell], kTakenScore);
        }
    }
}

int GlidePaths::step_cells(std::int64_t row, int rate) const {
    const double steps = steps_per_row_[static_cast<std::size_t>(rate)];
    const auto now = static_cast<double>(row & 0xffff);
    return static_cast<int>(std::floor((now + 1.0) * steps) - std::floor(now * steps));
}

// Rates run from -1, which like the one after the last is never there.
std::size_t GlidePaths::state_of(int rate, int place) const {
    return static_cast<std::size_t>(rate + 1) * static_cast<std::size_t>(width_ + pad_) +
           static_cast<std::size_t>(pad_ + place);
}

float GlidePaths::step(const float* before, float* now, std::int64_t row, int rate) const {
    const std::size_t stride = static_cast<std::size_t>(width_ + pad_);
    const float* same = before + state_of(rate, -step_cells(row, rate));
    const float* score = looks_.data() + static_cast<std::size_t>(rate / config_.rates_per_look) *
                                             static_cast<std::size_t>(width_);
    return best_of(same, same - stride, same + stride, score, now + state_of(rate, 0), width_);
}

float GlidePaths::score_of(const GlideLooks& looks, std::int64_t row, int cell, int rate,
                           const GlideMask& mask) const {
    if (std::abs(cell) < low_cell_) return 0.0F;
    const auto powers = looks.row(row, rate / config_.rates_per_look,
                                  cell > 0 ? GlideWay::falling : GlideWay::rising);
    const float score = scores_[powers[static_cast<std::size_t>(std::abs(cell))]];
    return mask.taken(row, cell) ? std::min(score, kTakenScore) : score;
}

double GlidePaths::advance(const GlideLooks& looks, std::int64_t row) {
    score_row(looks, row, nullptr);
    std::swap(before_, now_);
    float most = 0.0F;
    for (int rate = 0; rate < rates(); ++rate)
        most = std::max(most, step(before_.data(), now_.data(), row, rate));
    return static_cast<double>(most);
}

bool GlidePaths::trace_row(const GlideLooks& looks, std::int64_t row, const GlideMask& mask,
                           bool known) {
    TracedRow& here = traced(row);
    const std::vector<float>& before = states_before(row);
    here.taken.assign(mask.row(row), mask.row(row) + cells_);
    score_row(looks, row, &mask);
    here.most = 0.0F;
    here.rate = 0;
    for (int rate = 0; rate < rates(); ++rate) {
        const float most = step(before.data(), retraced_.data(), row, rate);
        if (most <= here.most) continue;
        here.most = most;
        here.rate = rate;
    }
    const bool same = known && retraced_ == here.states;
    std::swap(retraced_, here.states);
    return !same;
}

GlidePath GlidePaths::trace(const GlideLooks& looks, std::int64_t first_row, std::int64_t end_row,
                            const GlideMask& mask) {
    GlidePath path;
    if (end_row <= first_row) return path;
    if (traced_.size() < static_cast<std::size_t>(end_row - first_row)) {
        // Places before the first and rates beyond the ends are never written to and stay 0.
        traced_.resize(static_cast<std::size_t>(end_row - first_row));
        for (TracedRow& one : traced_) one.states.resize(now_.size());
        retraced_.resize(now_.size());
        nothing_.resize(now_.size());
        traced_end_ = traced_first_;
    }
    if (first_row < traced_first_ || first_row >= traced_end_) traced_end_ = first_row;
    bool changed = first_row != traced_first_;
    const std::int64_t known_end = std::min(traced_end_, end_row);
    traced_first_ = first_row;
    traced_end_ = end_row;
    std::int64_t best_row = first_row;
    for (std::int64_t row = first_row; row < end_row; ++row) {
        const bool known = row < known_end;
        changed = changed || !known ||
                  !std::equal(traced(row).taken.begin(), traced(row).taken.end(), mask.row(row));
        if (changed) changed = trace_row(looks, row, mask, known);
        if (traced(row).most > traced(best_row).most) best_row = row;
    }
    path.score = static_cast<double>(traced(best_row).most);
    if (path.score <= 0.0) return path;
    int best_rate = traced(best_row).rate;
    const float* states = traced(best_row).states.data() + state_of(best_rate, 0);
    auto best_place = static_cast<int>(std::max_element(states, states + width_) - states);
    for (std::int64_t row = best_row; row >= first_row && best_place >= 0; --row) {
        const int cell = cells_ - 1 - best_place;
        path.points.push_back({row, cell, best_rate, score_of(looks, row, cell, best_rate, mask)});
        const std::vector<float>& before = states_before(row);
        const int from = best_place - step_cells(row, best_rate);
        if (from < 0) break;
        const float same = before[state_of(best_rate, from)];
        const float slower = before[state_of(best_rate - 1, from)] - kBend;
        const float faster = before[state_of(best_rate + 1, from)] - kBend;
        const float best = std::max({same, slower, faster});
        if (best <= 0.0F) break;
        best_place = from;
        if (same < best) best_rate += slower == best ? -1 : 1;
    }
    std::reverse(path.points.begin(), path.points.end());
    return path;
}

}  // namespace skedlark::tone
