#include "dsp/tone/line_search.h"

#include <algorithm>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>
#include <functional>
#include <string>

#include "dsp/core/vector_clones.h"
#include "dsp/spectrum/nth_smallest.h"
#include "dsp/spectrum/window.h"

namespace skedlark::tone {
namespace {

// Cells beyond the span, so that its edges are searched as well as its middle.
constexpr int kGuardCells = 64;
// Noise is brought level over blocks of this many cells, by medians over this many blocks.
constexpr int kBlockCells = 128;
constexpr int kBlocksAround = 4;
constexpr int kStretch = 64;
// A line of a Hann window is so many bins of it wide.
constexpr double kLineBins = 4.0;
// Independent trials in a second of window and hertz of span, measured on noise.
constexpr double kTrialsPerCell = 2.5;

// Chances are wanted to some digits: no long double.
using InDouble = boost::math::policies::policy<boost::math::policies::promote_double<false>>;

SKEDLARK_VECTOR_CLONES
void add(const float* __restrict a, const float* __restrict b, float* __restrict sum, int count) {
    for (int i = 0; i < count; ++i) sum[i] = a[i] + b[i];
}

SKEDLARK_VECTOR_CLONES
int count_above(const float* values, float threshold, int count) {
    int above = 0;
    for (int i = 0; i < count; ++i) above += values[i] > threshold ? 1 : 0;
    return above;
}

Error out_of_range(const char* field, double value, const std::string& allowed) {
    return {ErrorCode::invalid_value, std::string("line search ") + field + " is " +
                                          std::to_string(value) + ", allowed " + allowed};
}

}  // namespace

Result<LineSearch> LineSearch::create(const LineSearchConfig& config) {
    if (!(config.high_hz > 20.0 && config.high_hz <= 3980.0))
        return out_of_range("high_hz", config.high_hz, "above 20 to 3980");
    if (!(config.low_hz >= 20.0 && config.low_hz < config.high_hz))
        return out_of_range("low_hz", config.low_hz, "20 to below high_hz");
    if (config.window < 256 || config.window > 65536)
        return out_of_range("window", config.window, "256 to 65536");
    if (config.hop < 1 || config.hop > config.window)
        return out_of_range("hop", config.hop, "1 to window");
    if (config.transform < config.window || config.transform > (1 << 20))
        return out_of_range("transform", config.transform, "window to 1048576");
    if (config.levels < 1 || config.levels > 7)
        return out_of_range("levels", config.levels, "1 to 7");
    if (config.first_level < 0 || config.first_level >= config.levels)
        return out_of_range("first_level", config.first_level, "0 to below levels");
    if (!(config.max_rate_hz_per_s >= 0.0 && config.max_rate_hz_per_s <= 10.0))
        return out_of_range("max_rate_hz_per_s", config.max_rate_hz_per_s, "0 to 10");
    if (!(config.false_alarms_per_hour > 0.0) || !std::isfinite(config.false_alarms_per_hour))
        return out_of_range("false_alarms_per_hour", config.false_alarms_per_hour, "above 0");
    auto fft = spectrum::RealFft::create(config.transform);
    if (!fft) return fft.error();
    return LineSearch(config, std::move(*fft));
}

LineSearch::LineSearch(const LineSearchConfig& config, spectrum::RealFft fft)
    : config_(config), fft_(std::move(fft)), cell_hz_(kWorkRateHz / config.transform) {
    const auto window = spectrum::make_window(spectrum::WindowKind::hann, config.window);
    window_ = window.weights;
    enbw_bins_ = window.enbw_bins;
    double shared = 0.0;
    double own = 0.0;
    for (std::size_t n = 0; n < window_.size(); ++n) {
        const auto weight = static_cast<double>(window_[n]);
        own += weight * weight;
        const std::size_t next = n + static_cast<std::size_t>(config.hop);
        if (next < window_.size()) shared += weight * static_cast<double>(window_[next]);
    }
    row_correlation_ = std::pow(shared / own, 2.0);
    next_row_at_ = config.window;
    line_hz_ = kLineBins / window_s();
    audio_.resize(window_.size());
    weights_.resize(window_.size());
    const int top_cell = config.transform / 2 - 1;
    first_cell_ = std::max(1, static_cast<int>(config.low_hz / cell_hz_) - kGuardCells);
    const int last = std::min(top_cell, static_cast<int>(config.high_hz / cell_hz_) + kGuardCells);
    cells_ = last - first_cell_ + 1;
    for (int level = 0; level < config.levels; ++level) {
        const int rows = 1 << level;
        const double drift_cells = config.max_rate_hz_per_s * hop_s() * (rows - 1) / cell_hz_;
        slopes_.push_back(std::min(rows, 1 + static_cast<int>(std::ceil(drift_cells))));
        // A level is kept until the next one has used it: half that one's rows back.
        const int kept = level + 1 < config.levels ? rows + 1 : 1;
        const int signs = level == 0 ? 1 : 2;
        store_.emplace_back(
            static_cast<std::size_t>(std::max(kept, level == 0 ? 1 << (config.levels - 1) : 1)) *
            signs * slopes_.back() * cells_);
        const double chance = config.false_alarms_per_hour / config.levels / trials_per_hour(level);
        const double shape = gamma_shape(rows);
        thresholds_.push_back(static_cast<float>(
            boost::math::gamma_q_inv(shape, std::min(chance, 0.5)) * rows / shape));
    }
    scratch_.resize(static_cast<std::size_t>(std::max(kBlockCells, 2 * kBlocksAround + 1)));
    noise_.resize(static_cast<std::size_t>(cells_));
    block_medians_.resize(static_cast<std::size_t>(cells_ / kBlockCells + 2));
}

double LineSearch::gamma_shape(int rows) const {
    return rows * static_cast<double>(rows) / (rows + 2.0 * (rows - 1) * row_correlation_);
}

double LineSearch::trials_per_hour(int level) const {
    const double cells = (config_.high_hz - config_.low_hz) * window_s() * kTrialsPerCell;
    const double tracks = 2.0 * slopes_[static_cast<std::size_t>(level)] - 1.0;
    return cells * tracks * 3600.0 / hop_s();
}

double LineSearch::noise_chance(double ratio, int rows) const {
    if (ratio <= 0.0) return 1.0;
    const double shape = gamma_shape(rows);
    return boost::math::gamma_q(shape, ratio * shape, InDouble());
}

bool LineSearch::push(std::span<const float> samples, std::span<const float> weights,
                      std::span<const float> density, double density_bin_hz) {
    for (std::size_t n = 0; n < samples.size(); ++n) {
        audio_[oldest_] = samples[n] * weights[n];
        weights_[oldest_] = weights[n];
        if (++oldest_ == audio_.size()) oldest_ = 0;
    }
    count_ += static_cast<FrameIndex>(samples.size());
    if (count_ != next_row_at_) return false;
    next_row_at_ += config_.hop;
    if (density.empty()) return false;
    make_row(density, density_bin_hz);
    ++rows_seen_;
    all_candidates_.clear();
    sum_tracks();
    merge_candidates();
    return true;
}

std::span<float> LineSearch::sums(int level, int sign, int slope, int back) {
    auto& store = store_[static_cast<std::size_t>(level)];
    const int signs = level == 0 ? 1 : 2;
    const int slopes = slopes_[static_cast<std::size_t>(level)];
    const auto per_row = static_cast<std::size_t>(signs * slopes * cells_);
    const auto kept = static_cast<int>(store.size() / per_row);
    const int row = ((rows_seen_ - 1 - back) % kept + kept) % kept;
    const int part = (level == 0 ? 0 : sign) * slopes + slope;
    return std::span(store).subspan(
        static_cast<std::size_t>(row) * per_row + static_cast<std::size_t>(part * cells_),
        static_cast<std::size_t>(cells_));
}

std::span<const float> LineSearch::past_row(int back) const {
    const auto& store = store_.front();
    const auto kept = static_cast<int>(store.size() / static_cast<std::size_t>(cells_));
    const int row = ((rows_seen_ - 1 - back) % kept + kept) % kept;
    return std::span(store).subspan(
        static_cast<std::size_t>(row) * static_cast<std::size_t>(cells_),
        static_cast<std::size_t>(cells_));
}

void LineSearch::make_row(std::span<const float> density, double density_bin_hz) {
    const double gain = load_window();
    const auto scale = static_cast<float>(1.0 / (gain * kWorkRateHz / 2.0 + 1e-30));
    ++rows_seen_;
    const auto row = sums(0, 0, 0, 0);
    --rows_seen_;
    const auto bins = fft_.transform().subspan(static_cast<std::size_t>(first_cell_));
    for (std::size_t cell = 0; cell < row.size(); ++cell) row[cell] = std::norm(bins[cell]) * scale;
    divide_by_noise(density, density_bin_hz, row);
    level_out(row);
}

double LineSearch::load_window() {
    const auto input = fft_.input();
    constexpr std::size_t kLanes = 4;
    double gains[kLanes] = {};
    const auto load = [&](std::size_t from, std::size_t to, std::size_t count) {
        const float* audio = &audio_[from];
        const float* weights = &weights_[from];
        const float* window = &window_[to];
        for (std::size_t n = 0; n < count; ++n) input[to + n] = audio[n] * window[n];
        std::size_t n = 0;
        for (; n + kLanes <= count; n += kLanes)
            for (std::size_t lane = 0; lane < kLanes; ++lane)
                gains[lane] +=
                    static_cast<double>(window[n + lane] * window[n + lane] * weights[n + lane]);
        for (; n < count; ++n) gains[0] += static_cast<double>(window[n] * window[n] * weights[n]);
    };
    const std::size_t to_end = audio_.size() - oldest_;
    load(oldest_, 0, to_end);
    if (oldest_ > 0) load(0, to_end, oldest_);
    return (gains[0] + gains[1]) + (gains[2] + gains[3]);
}

// The density is known bin by bin, and drawn straight between two of them.
void LineSearch::divide_by_noise(std::span<const float> density, double density_bin_hz,
                                 std::span<float> row) {
    const double bins_per_cell = cell_hz_ / density_bin_hz;
    const std::size_t last_bin = density.size() - 2;
    for (int cell = 0; cell < cells_;) {
        const auto bin =
            std::min(static_cast<std::size_t>((cell + first_cell_) * bins_per_cell), last_bin);
        const auto start = static_cast<double>(bin);
        const int next = static_cast<int>(std::ceil((start + 1.0) / bins_per_cell)) - first_cell_;
        const int end = bin == last_bin ? cells_ : std::clamp(next, cell + 1, cells_);
        const float low = density[bin];
        const float high = density[bin + 1];
        for (; cell < end; ++cell) {
            const auto at = static_cast<std::size_t>(cell);
            const auto part = static_cast<float>((cell + first_cell_) * bins_per_cell - start);
            const float noise = (1.0F - part) * low + part * high;
            const float ratio = row[at] / (noise > 0.0F ? noise : 1.0F);
            row[at] = noise > 0.0F ? ratio : 0.0F;
            noise_[at] = noise;
        }
    }
}

// The density follows the noise within some per cent; far out in the tail that is not enough, so
// each stretch of the row is divided by its own median as well.
void LineSearch::level_out(std::span<float> row) {
    const int blocks = std::max(1, cells_ / kBlockCells);
    for (int block = 0; block < blocks; ++block) {
        const auto from = row.begin() + block * kBlockCells;
        const auto count = std::min<std::ptrdiff_t>(kBlockCells, row.end() - from);
        std::copy_n(from, count, scratch_.begin());
        const auto cells = static_cast<std::size_t>(count);
        block_medians_[static_cast<std::size_t>(block)] =
            spectrum::nth_smallest(std::span(scratch_).first(cells), cells / 2);
    }
    constexpr float kMedianOfExponential = 0.6931472F;
    for (int block = 0; block < blocks; ++block) {
        const int low = std::max(0, block - kBlocksAround);
        const int high = std::min(blocks - 1, block + kBlocksAround);
        std::copy(block_medians_.begin() + low, block_medians_.begin() + high + 1,
                  scratch_.begin());
        const auto around = static_cast<std::size_t>(high - low + 1);
        const float median = spectrum::nth_smallest(std::span(scratch_).first(around), around / 2);
        const float correction = std::max(median / kMedianOfExponential, 0.5F);
        const int from = block * kBlockCells;
        const int end = block + 1 == blocks ? cells_ : from + kBlockCells;
        for (int cell = from; cell < end; ++cell) {
            row[static_cast<std::size_t>(cell)] /= correction;
            noise_[static_cast<std::size_t>(cell)] *= correction;
        }
    }
}

// Each level adds two sums of the one before: the older half along half the slope, the newer half
// begun where the older one ends.
void LineSearch::sum_tracks() {
    collect(0, 0, 0, sums(0, 0, 0, 0));
    for (int level = 1; level < config_.levels; ++level) {
        const int rows = 1 << level;
        if (rows_seen_ < rows) return;
        for (int sign = 0; sign < 2; ++sign) {
            for (int slope = 0; slope < slopes_[static_cast<std::size_t>(level)]; ++slope) {
                const int half =
                    std::min(slope / 2, slopes_[static_cast<std::size_t>(level - 1)] - 1);
                const auto older = sums(level - 1, sign, half, rows / 2);
                const auto newer = sums(level - 1, sign, half, 0);
                const auto out = sums(level, sign, slope, 0);
                // Cells name the newest row's place, so that no track runs off in time.
                const int shift = (sign == 0 ? 1 : -1) * (slope - half);
                const int from = std::max(0, shift);
                const int to = std::min(cells_, cells_ + shift);
                std::fill(out.begin(), out.begin() + from, 0.0F);
                std::fill(out.begin() + to, out.end(), 0.0F);
                add(&newer[static_cast<std::size_t>(from)],
                    &older[static_cast<std::size_t>(from - shift)],
                    &out[static_cast<std::size_t>(from)], to - from);
                if (sign == 0 || slope > 0) collect(level, slope, sign, out);
            }
        }
    }
}

void LineSearch::collect(int level, int slope, int sign, std::span<const float> values) {
    if (level < config_.first_level) return;
    const float threshold = thresholds_[static_cast<std::size_t>(level)];
    // Hardly any cell is above the threshold: count them in each stretch first.
    for (int start = 1; start + 1 < cells_; start += kStretch) {
        const int end = std::min(start + kStretch, cells_ - 1);
        if (count_above(&values[static_cast<std::size_t>(start)], threshold, end - start) == 0)
            continue;
        for (int cell = start; cell < end; ++cell) {
            const auto at = static_cast<std::size_t>(cell);
            if (values[at] > threshold && values[at] >= values[at - 1] &&
                values[at] >= values[at + 1])
                add_candidate(level, slope, sign, values, cell);
        }
    }
}

void LineSearch::add_candidate(int level, int slope, int sign, std::span<const float> values,
                               int cell) {
    const int rows = 1 << level;
    const auto at = static_cast<std::size_t>(cell);
    const auto below = static_cast<double>(values[at - 1]);
    const auto here = static_cast<double>(values[at]);
    const auto above = static_cast<double>(values[at + 1]);
    const double bend = below - 2.0 * here + above;
    const double offset = bend < 0.0 ? std::clamp(0.5 * (below - above) / bend, -0.5, 0.5) : 0.0;
    LineCandidate found;
    found.pitch_hz = (first_cell_ + cell + offset) * cell_hz_;
    if (found.pitch_hz < config_.low_hz || found.pitch_hz > config_.high_hz) return;
    const double seconds = std::max(1, rows - 1) * hop_s();
    found.rate_hz_per_s = (sign == 0 ? 1.0 : -1.0) * slope * cell_hz_ / seconds;
    found.ratio = (here - 0.25 * (below - above) * offset) / rows;
    found.rows = rows;
    found.carrier_power = std::max(0.0, found.ratio - 1.0) * static_cast<double>(noise_[at]) *
                          enbw_bins_ / window_s();
    found.exponent = gamma_shape(rows) * (found.ratio - 1.0 - std::log(found.ratio));
    found.level = level;
    all_candidates_.push_back(found);
}

// Of all tracks that meet within a line's width, the one least likely to be noise: a track may owe
// its sum to a strong line that it only crosses.
void LineSearch::merge_candidates() {
    by_exponent_.clear();
    fastest_hz_per_s_ = 0.0;
    for (std::size_t n = 0; n < all_candidates_.size(); ++n) {
        by_exponent_.emplace_back(all_candidates_[n].exponent, n);
        fastest_hz_per_s_ = std::max(fastest_hz_per_s_, std::abs(all_candidates_[n].rate_hz_per_s));
    }
    std::sort(by_exponent_.begin(), by_exponent_.end(), std::greater<>());
    candidates_.clear();
    kept_hz_.clear();
    for (const auto& [exponent, at] : by_exponent_) {
        const LineCandidate& candidate = all_candidates_[at];
        if (meets_kept(candidate)) continue;
        candidates_.push_back(candidate);
        kept_hz_.push_back(candidate.pitch_hz);
    }
    for (LineCandidate& candidate : candidates_)
        candidate.expected_false_per_hour = noise_chance(candidate.ratio, candidate.rows) *
                                            trials_per_hour(candidate.level) * levels_looked_at();
    std::sort(candidates_.begin(), candidates_.end(),
              [](const auto& a, const auto& b) { return a.ratio > b.ratio; });
}

bool LineSearch::meets_kept(const LineCandidate& candidate) const {
    const double seconds = (candidate.rows - 1) * hop_s();
    // Two tracks further apart than this now were so all the time.
    const double reach_hz =
        line_hz_ + (std::abs(candidate.rate_hz_per_s) + fastest_hz_per_s_) * seconds;
    for (std::size_t n = 0; n < kept_hz_.size(); ++n) {
        const double now_hz = candidate.pitch_hz - kept_hz_[n];
        if (std::abs(now_hz) > reach_hz) continue;
        const double then_hz =
            now_hz - (candidate.rate_hz_per_s - candidates_[n].rate_hz_per_s) * seconds;
        if (std::min(std::abs(now_hz), std::abs(then_hz)) < line_hz_ || now_hz * then_hz < 0.0)
            return true;
    }
    return false;
}

double LineSearch::ratio_near(double pitch_hz, double rate_hz_per_s, double reach_hz,
                              int rows) const {
    rows = std::min({rows, rows_seen_, 1 << (config_.levels - 1)});
    if (rows < 1) return 0.0;
    double best = 0.0;
    const double middle = pitch_hz / cell_hz_ - first_cell_;
    const int reach = std::max(1, static_cast<int>(std::lround(reach_hz / cell_hz_)));
    for (int offset = -reach; offset <= reach; ++offset) {
        double sum = 0.0;
        for (int back = 0; back < rows; ++back) {
            const double drifted = middle + offset - rate_hz_per_s * back * hop_s() / cell_hz_;
            const auto cell = std::lround(drifted);
            if (cell >= 0 && cell < cells_)
                sum += static_cast<double>(past_row(back)[static_cast<std::size_t>(cell)]);
        }
        best = std::max(best, sum / rows);
    }
    return best;
}

void LineSearch::reset() {
    oldest_ = 0;
    count_ = 0;
    next_row_at_ = config_.window;
    rows_seen_ = 0;
    candidates_.clear();
}

}  // namespace skedlark::tone
