#include "dsp/tone/glance.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>

namespace skedlark::tone {
namespace {

constexpr int kSize = 1024;
constexpr int kHop = kSize / 2;
constexpr double kHopS = kHop / kWorkRateHz;
constexpr std::array<std::size_t, 3> kRows{8, 32, 96};  // 0.5, 2, 6 s
constexpr int kEvery = 4;                               // rows between glances
constexpr int kFirstRows = 16;
constexpr int kHistoryRows = 128;
// Hann windows that overlap by half: looks worth as many independent ones (Welch 1967: 9/11 of them).
constexpr double kIndependent = 9.0 / 11.0;
// A tone seen within this long and this near is the one that is followed.
constexpr double kKeepS = 3.0;
constexpr double kNearHz = 350.0;

}  // namespace

Result<GlanceMeter> GlanceMeter::create(const GlanceConfig& config) {
    const auto wrong = [](const char* field, double value, double low, double high) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{}: {}, allowed {} to {}", field, value, low, high)};
    };
    if (!(config.high_hz >= 100.0 && config.high_hz <= 3900.0))
        return wrong("high_hz", config.high_hz, 100.0, 3900.0);
    if (!(config.low_hz >= 50.0 && config.low_hz < config.high_hz))
        return wrong("low_hz", config.low_hz, 50.0, config.high_hz);
    if (!(config.false_alarms_per_hour >= 0.001 && config.false_alarms_per_hour <= 1000.0))
        return wrong("false_alarms_per_hour", config.false_alarms_per_hour, 0.001, 1000.0);
    auto stft = spectrum::Stft::create({.size = kSize, .hop = kHop});
    if (!stft) return stft.error();
    auto floor = spectrum::NoiseFloor::create(
        {.bins = kSize / 2 + 1, .history_rows = kHistoryRows, .update_every_rows = kEvery});
    if (!floor) return floor.error();
    return GlanceMeter(config, *std::move(stft), *std::move(floor));
}

GlanceMeter::GlanceMeter(const GlanceConfig& config, spectrum::Stft stft,
                         spectrum::NoiseFloor floor)
    : config_(config),
      stft_(std::move(stft)),
      floor_(std::move(floor)),
      first_bin_(std::max(1, static_cast<int>(std::ceil(config.low_hz / stft_.bin_hz())))),
      end_bin_(std::min(stft_.bins() - 1,
                        static_cast<int>(std::floor(config.high_hz / stft_.bin_hz())) + 1)) {
    const double cells = end_bin_ - first_bin_;
    for (std::size_t n = 0; n < kLooks; ++n) {
        // Looks of one length, of those that have nothing in common, in an hour.
        const double rows = static_cast<double>(kRows[n]);
        const double looks = 3600.0 / (kHopS * rows) * cells;
        const double shape = kIndependent * rows;
        const double odds = std::min(0.1, config.false_alarms_per_hour / (kLooks * looks));
        thresholds_[n] = boost::math::gamma_q_inv(shape, odds) / shape;
        sums_[n].assign(static_cast<std::size_t>(stft_.bins()), 0.0);
    }
    finite_.reserve(kHop);
}

void GlanceMeter::process(std::span<const float> audio, std::vector<Glance>& out) {
    finite_.assign(audio.begin(), audio.end());
    for (float& sample : finite_)
        if (!std::isfinite(sample)) sample = 0.0F;
    stft_.process(finite_, [&](std::span<const float> row) { take_row(row, out); });
}

void GlanceMeter::take_row(std::span<const float> row, std::vector<Glance>& out) {
    ++rows_seen_;
    floor_.add(row);
    if (!floor_.ready() || rows_seen_ < kFirstRows) return;
    const auto noise = floor_.density();
    std::vector<float> over(row.size(), 0.0F);
    for (std::size_t k = 0; k < row.size(); ++k)
        if (noise[k] > 0.0F) over[k] = row[k] / noise[k];
    rows_.push_back(std::move(over));
    if (rows_.size() > kRows.back()) rows_.pop_front();
    if (rows_seen_ % kEvery != 0) return;
    for (std::size_t n = 0; n < kLooks; ++n) {
        if (rows_.size() < kRows[n]) break;
        auto& sum = sums_[n];
        std::fill(sum.begin(), sum.end(), 0.0);
        for (auto one = rows_.end() - static_cast<std::ptrdiff_t>(kRows[n]); one != rows_.end();
             ++one)
            for (std::size_t k = 0; k < sum.size(); ++k) sum[k] += static_cast<double>((*one)[k]);
        if (const auto seen = look(n)) {
            out.push_back(*seen);
            last_ = seen;
            return;
        }
    }
}

std::optional<Glance> GlanceMeter::look(std::size_t which) const {
    const auto& sum = sums_[which];
    const double at_s = static_cast<double>(rows_seen_ + 1) * kHopS;
    const auto rows = static_cast<double>(kRows[which]);
    const bool keeping = last_ && at_s - last_->at_s <= kKeepS;
    std::optional<std::size_t> best;
    bool best_near = false;
    for (int bin = first_bin_; bin < end_bin_; ++bin) {
        const auto k = static_cast<std::size_t>(bin);
        if (sum[k] < thresholds_[which] * rows || sum[k] < sum[k - 1] || sum[k] < sum[k + 1])
            continue;
        const bool near = keeping && std::abs(bin * stft_.bin_hz() - last_->pitch_hz) <= kNearHz;
        if (best && (best_near && !near)) continue;
        if (best && best_near == near && sum[*best] >= sum[k]) continue;
        best = k;
        best_near = near;
    }
    if (!best) return std::nullopt;
    const double left = std::log(sum[*best - 1]);
    const double middle = std::log(sum[*best]);
    const double right = std::log(sum[*best + 1]);
    const double bend = left - 2.0 * middle + right;
    const double shift = bend < 0.0 ? std::clamp(0.5 * (left - right) / bend, -0.5, 0.5) : 0.0;
    // Energy over noise density of the look; the bound of a tone's frequency in one window, the
    // windows independent (Rife and Boorstyn 1974), with the Hann window's loss (2.34 in variance).
    const double energy = std::max(1.0, sum[*best] - rows);
    const double window_s = kSize / kWorkRateHz;
    const double sd = std::sqrt(2.34 * 3.0 / (2.0 * 9.8696 * energy)) / window_s;
    return Glance{at_s, (static_cast<double>(*best) + shift) * stft_.bin_hz(), std::max(0.5, sd),
                  rows * kHopS};
}

}  // namespace skedlark::tone
