#include "dsp/spectrum/strip.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace skedlark::spectrum {
namespace {

constexpr double kTopHz = kWorkRateHz / 2.0;
// A tone's neighbourhood for the floor; it must be several line widths wide.
constexpr double kNeighbourHz = 150.0;
constexpr double kFloorHistory_s = 8.0;
constexpr double kLowestDb = -30.0;

Error out_of_range(const char* field, double value, const char* allowed) {
    return {ErrorCode::invalid_value, std::string("strip ") + field + " is " +
                                          std::to_string(value) + ", allowed " + allowed};
}

bool is_range(double low_hz, double high_hz) {
    return low_hz >= 0.0 && low_hz < high_hz && high_hz <= kTopHz;
}

}  // namespace

Result<Strip> Strip::create(const StripConfig& config) {
    if (!(config.high_hz > 0.0 && config.high_hz <= kTopHz))
        return out_of_range("high_hz", config.high_hz, "above 0 to 4000");
    if (!is_range(config.low_hz, config.high_hz))
        return out_of_range("low_hz", config.low_hz, "0 to below high_hz");
    if (!(config.window_s >= 0.02 && config.window_s <= 4.0))
        return out_of_range("window_s", config.window_s, "0.02 to 4");
    if (!(config.hop_s >= 0.005 && config.hop_s <= config.window_s))
        return out_of_range("hop_s", config.hop_s, "0.005 to window_s");
    if (config.points < 2 || config.points > 8192)
        return out_of_range("points", config.points, "2 to 8192");
    const int size = 2 * static_cast<int>(std::lround(config.window_s * kWorkRateHz / 2.0));
    const int hop = std::clamp(static_cast<int>(std::lround(config.hop_s * kWorkRateHz)), 1, size);
    auto stft = Stft::create({.size = size, .hop = hop});
    if (!stft) return stft.error();
    const double bin_hz = kWorkRateHz / size;
    const int history = std::clamp(static_cast<int>(kFloorHistory_s / config.hop_s), 16, 256);
    auto floor = NoiseFloor::create(
        {.bins = size / 2 + 1,
         .history_rows = history,
         .neighbour_bins = std::clamp(static_cast<int>(kNeighbourHz / bin_hz), 4, 1000),
         .update_every_rows = std::max(1, history / 8)});
    if (!floor) return floor.error();
    return Strip(config, std::move(*stft), std::move(*floor));
}

Strip::Strip(const StripConfig& config, Stft stft, NoiseFloor floor)
    : config_(config),
      stft_(std::move(stft)),
      floor_(std::move(floor)),
      over_noise_db_(static_cast<std::size_t>(stft_.bins())),
      row_(static_cast<std::size_t>(config.points)) {}

std::span<const float> Strip::draw(std::span<const float> powers) noexcept {
    floor_.add(powers);
    const double bin_hz = stft_.bin_hz();
    const double point_hz = (config_.high_hz - config_.low_hz) / config_.points;
    measure(powers, static_cast<int>(config_.low_hz / bin_hz),
            static_cast<int>(std::ceil(config_.high_hz / bin_hz)) + 1);
    const auto over_noise = [this](int bin) {
        return over_noise_db_[static_cast<std::size_t>(std::min(bin, stft_.bins() - 1))];
    };
    for (int point = 0; point < config_.points; ++point) {
        const double from = (config_.low_hz + point * point_hz) / bin_hz;
        const double to = from + point_hz / bin_hz;
        const double middle = 0.5 * (from + to);
        double value = 0.0;
        if (to - from <= 1.0) {  // finer than the bins: between two of them
            const int bin = static_cast<int>(middle);
            const double part = middle - bin;
            value = (1.0 - part) * over_noise(bin) + part * over_noise(bin + 1);
        } else {
            value = kLowestDb;
            for (int bin = static_cast<int>(std::ceil(from)); bin < to; ++bin)
                value = std::max(value, over_noise(bin));
        }
        row_[static_cast<std::size_t>(point)] = static_cast<float>(value);
    }
    return row_;
}

// Each bin once: a narrow strip has many points to a bin.
void Strip::measure(std::span<const float> powers, int first_bin, int last_bin) noexcept {
    const auto density = floor_.density();
    const auto end = static_cast<std::size_t>(std::min(last_bin, stft_.bins() - 1)) + 1;
    for (auto bin = static_cast<std::size_t>(first_bin); bin < end; ++bin) {
        const bool known = floor_.ready() && density[bin] > 0.0F;
        over_noise_db_[bin] =
            known ? std::max(kLowestDb,
                             db_from_power(static_cast<double>(powers[bin] / density[bin]) + 1e-12))
                  : 0.0;
    }
}

bool Strip::look_at(double low_hz, double high_hz) noexcept {
    if (!is_range(low_hz, high_hz)) return false;
    config_.low_hz = low_hz;
    config_.high_hz = high_hz;
    return true;
}

void Strip::reset() noexcept {
    stft_.reset();
    floor_.reset();
}

}  // namespace skedlark::spectrum
