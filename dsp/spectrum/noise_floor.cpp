#include "dsp/spectrum/noise_floor.h"

#include <algorithm>
#include <cmath>
#include <string>

#include "dsp/spectrum/nth_smallest.h"

namespace skedlark::spectrum {
namespace {

// Fewer rows than this say too little about a level.
constexpr int kMinRows = 8;
// A row is a crash when its saturating level is this far above the median row; in plain noise that
// is over four standard deviations for 100 bins. Tried 0.08 to 0.2: noise_floor_test.cpp, static.
constexpr float kCrashMargin = 0.12F;
// A neighbourhood with a bin this much above its lower quartile holds a tone; then bins above the
// second factor are left out as part of it. A slope of the noise stays below the first.
constexpr float kToneOverQuartile = 3.0F;
constexpr float kCleanOverQuartile = 1.5F;

// Expected r-th smallest of n exponential values of mean one.
double expected_order(int r, int n) {
    double sum = 0.0;
    for (int j = 0; j < r; ++j) sum += 1.0 / (n - j);
    return sum;
}

// Above it a value is part of a tone, given the lower quartile and the largest.
float tone_limit(float quartile, float largest) {
    return largest > kToneOverQuartile * quartile ? kCleanOverQuartile * quartile : largest;
}

// Median of the values that hold no tone; reorders them.
float toneless_median(std::span<float> values) {
    const float quartile = nth_smallest(values, values.size() / 4);
    const float limit = tone_limit(quartile, *std::max_element(values.begin(), values.end()));
    const auto end = std::partition(values.begin(), values.end(),
                                    [limit](float value) { return value <= limit; });
    const auto count = static_cast<std::size_t>(end - values.begin());
    return count == 0 ? 0.0F : nth_smallest(values.first(count), count / 2);
}

// The same of values in rising order.
float toneless_median_sorted(std::span<const float> values) {
    const float limit = tone_limit(values[values.size() / 4], values.back());
    const auto count = static_cast<std::size_t>(
        std::upper_bound(values.begin(), values.end(), limit) - values.begin());
    return count == 0 ? 0.0F : values[count / 2];
}

Error out_of_range(const char* field, int value, const char* allowed) {
    return {ErrorCode::invalid_value, std::string("noise floor ") + field + " is " +
                                          std::to_string(value) + ", allowed " + allowed};
}

}  // namespace

Result<NoiseFloor> NoiseFloor::create(const NoiseFloorConfig& config) {
    if (config.bins < 8 || config.bins > 65536)
        return out_of_range("bins", config.bins, "8 to 65536");
    if (config.history_rows < kMinRows || config.history_rows > 1024)
        return out_of_range("history_rows", config.history_rows, "8 to 1024");
    if (config.neighbour_bins < 1 || config.neighbour_bins > 1000)
        return out_of_range("neighbour_bins", config.neighbour_bins, "1 to 1000");
    if (config.update_every_rows < 1 || config.update_every_rows > 1024)
        return out_of_range("update_every_rows", config.update_every_rows, "1 to 1024");
    return NoiseFloor(config);
}

NoiseFloor::NoiseFloor(const NoiseFloorConfig& config) : config_(config) {
    const auto bins = static_cast<std::size_t>(config.bins);
    const auto rows = static_cast<std::size_t>(config.history_rows);
    rows_.resize(bins * rows);
    reference_.resize(bins);
    level_.resize(bins);
    quiet_.resize(bins);
    density_.resize(bins);
    row_level_.resize(rows);
    kept_.reserve(rows);
    scratch_.resize(std::max(2 * rows, static_cast<std::size_t>(2 * config.neighbour_bins + 1)) +
                    bins);
}

bool NoiseFloor::add(std::span<const float> power_row) noexcept {
    float sum = 0.0F;
    for (const float power : power_row) sum += power;
    if (!std::isfinite(sum) || sum <= 0.0F) return false;  // digital silence is no noise
    for (int bin = 0; bin < config_.bins; ++bin) {
        rows_[static_cast<std::size_t>(bin * config_.history_rows + next_row_)] =
            power_row[static_cast<std::size_t>(bin)];
    }
    next_row_ = (next_row_ + 1) % config_.history_rows;
    row_count_ = std::min(row_count_ + 1, config_.history_rows);
    ++since_update_;
    const bool due = ready_ ? since_update_ >= config_.update_every_rows : row_count_ >= kMinRows;
    // While the history fills up, each doubling is worth an update.
    const bool filling =
        ready_ && row_count_ < config_.history_rows && since_update_ * 2 >= row_count_;
    if (!due && !filling) return false;
    since_update_ = 0;
    update();
    return true;
}

void NoiseFloor::update() noexcept {
    find_reference();
    choose_rows();
    const int kept = static_cast<int>(kept_.size());
    const int median_rank = (kept + 1) / 2;
    const int quiet_rank = std::max(1, kept / 8);
    const auto median_scale = static_cast<float>(1.0 / expected_order(median_rank, kept));
    const auto quiet_scale = static_cast<float>(1.0 / expected_order(quiet_rank, kept));
    for (int bin = 0; bin < config_.bins; ++bin) {
        const float* history = &rows_[static_cast<std::size_t>(bin * config_.history_rows)];
        for (int i = 0; i < kept; ++i)
            scratch_[static_cast<std::size_t>(i)] = history[kept_[static_cast<std::size_t>(i)]];
        const std::span<float> values(scratch_.data(), static_cast<std::size_t>(kept));
        const auto at = static_cast<std::size_t>(bin);
        level_[at] = median_scale * nth_smallest(values, static_cast<std::size_t>(median_rank - 1));
        quiet_[at] = quiet_scale * nth_smallest(values.first(static_cast<std::size_t>(median_rank)),
                                                static_cast<std::size_t>(quiet_rank - 1));
    }
    smooth_over_neighbours();
    ready_ = true;
}

// A first idea of each bin's level that up to half the rows being crashes cannot spoil; later the
// estimate before this one serves as well.
void NoiseFloor::find_reference() noexcept {
    if (ready_ && row_count_ == config_.history_rows) {
        std::copy(level_.begin(), level_.end(), reference_.begin());
        return;
    }
    const auto rank = static_cast<std::size_t>(row_count_ * 2 / 5);
    for (int bin = 0; bin < config_.bins; ++bin) {
        const float* history = &rows_[static_cast<std::size_t>(bin * config_.history_rows)];
        std::copy_n(history, row_count_, scratch_.begin());
        reference_[static_cast<std::size_t>(bin)] =
            2.0F * nth_smallest({scratch_.data(), static_cast<std::size_t>(row_count_)}, rank);
    }
}

// Keeps the rows that are not louder all over the band. The saturating mean of x / (1 + x) keeps a
// few strong tones from being taken for a crash.
void NoiseFloor::choose_rows() noexcept {
    std::fill(row_level_.begin(), row_level_.end(), 0.0F);
    for (int bin = 0; bin < config_.bins; ++bin) {
        const float reference = reference_[static_cast<std::size_t>(bin)];
        if (reference <= 0.0F) continue;
        const float* history = &rows_[static_cast<std::size_t>(bin * config_.history_rows)];
        for (int row = 0; row < row_count_; ++row)
            row_level_[static_cast<std::size_t>(row)] += history[row] / (history[row] + reference);
    }
    const auto live = std::count_if(reference_.begin(), reference_.end(),
                                    [](float reference) { return reference > 0.0F; });
    const float per_bin = live > 0 ? 1.0F / static_cast<float>(live) : 0.0F;
    std::copy_n(row_level_.begin(), row_count_, scratch_.begin());
    const std::span<float> levels(scratch_.data(), static_cast<std::size_t>(row_count_));
    const float limit = nth_smallest(levels, levels.size() * 2 / 5) * per_bin + kCrashMargin;
    kept_.clear();
    for (int row = 0; row < row_count_; ++row) {
        if (row_level_[static_cast<std::size_t>(row)] * per_bin <= limit) kept_.push_back(row);
    }
}

// From one bin to the next the neighbourhood changes by a bin or two: it is kept in order.
void NoiseFloor::smooth_over_neighbours() noexcept {
    const auto sorted = scratch_.begin();
    auto sorted_end = sorted;
    int from = 0;
    int past = 0;
    for (int bin = 0; bin < config_.bins; ++bin) {
        // The neighbourhood stays symmetric at the ends, so that a slope does not tilt it.
        const int reach = std::min(
            {config_.neighbour_bins, std::max(bin, 1), std::max(config_.bins - 1 - bin, 1)});
        for (; past <= std::min(config_.bins - 1, bin + reach); ++past) {
            const float level = level_[static_cast<std::size_t>(past)];
            const auto place = std::upper_bound(sorted, sorted_end, level);
            std::copy_backward(place, sorted_end, sorted_end + 1);
            *place = level;
            ++sorted_end;
        }
        for (; from < bin - reach; ++from) {
            const auto place =
                std::lower_bound(sorted, sorted_end, level_[static_cast<std::size_t>(from)]);
            std::copy(place + 1, sorted_end, place);
            --sorted_end;
        }
        density_[static_cast<std::size_t>(bin)] = toneless_median_sorted({sorted, sorted_end});
    }
}

double NoiseFloor::side(int from_bin, int to_bin) const noexcept {
    from_bin = std::clamp(from_bin, 0, config_.bins - 1);
    to_bin = std::clamp(to_bin, from_bin, config_.bins - 1);
    const auto count = static_cast<std::size_t>(to_bin - from_bin + 1);
    std::copy_n(level_.begin() + from_bin, count, scratch_.begin());
    return static_cast<double>(toneless_median({scratch_.data(), count}));
}

double NoiseFloor::beside(double bin, int exclude_bins, int reach_bins) const noexcept {
    const int centre = std::clamp(static_cast<int>(std::lround(bin)), 0, config_.bins - 1);
    const double below = side(centre - reach_bins, centre - exclude_bins);
    const double above = side(centre + exclude_bins, centre + reach_bins);
    const double low = std::min(below, above);
    const double high = std::max(below, above);
    if (high < 2.0 * low) return std::sqrt(low * high);
    const auto own = static_cast<double>(quiet_[static_cast<std::size_t>(centre)]);
    return std::clamp(own, low, high);
}

void NoiseFloor::reset() noexcept {
    next_row_ = 0;
    row_count_ = 0;
    since_update_ = 0;
    ready_ = false;
}

}  // namespace skedlark::spectrum
