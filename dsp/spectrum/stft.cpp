#include "dsp/spectrum/stft.h"

#include <algorithm>
#include <cmath>
#include <string>

namespace skedlark::spectrum {
namespace {
constexpr double kFloorDbfs = -200.0;

Error out_of_range(const char* field, double value, const std::string& allowed) {
    return {ErrorCode::invalid_value, std::string("spectrum ") + field + " is " +
                                          std::to_string(value) + ", allowed " + allowed};
}
}  // namespace

Result<Stft> Stft::create(const StftConfig& config) {
    if (!(config.sample_rate_hz > 0.0) || !std::isfinite(config.sample_rate_hz))
        return out_of_range("sample_rate_hz", config.sample_rate_hz, "above 0");
    if (config.size < 8 || config.size > 65536)
        return out_of_range("size", config.size, "8 to 65536");
    if (config.hop < 1 || config.hop > config.size)
        return out_of_range("hop", config.hop, "1 to " + std::to_string(config.size));
    auto fft = RealFft::create(config.size);
    if (!fft) return fft.error();
    return Stft(config, std::move(*fft));
}

Stft::Stft(const StftConfig& config, RealFft fft)
    : config_(config),
      fft_(std::move(fft)),
      window_(make_window(config.window, config.size)),
      ring_(static_cast<std::size_t>(config.size)),
      row_(static_cast<std::size_t>(config.size / 2 + 1)),
      next_row_at_(config.size) {
    const double sum = window_.coherent_gain * config.size;
    // The peak of a line is (A / 2 * sum)^2; noise passes fs * sum of squared weights.
    scale_ = config.scale == RowScale::dbfs
                 ? 4.0 / (sum * sum)
                 : 2.0 * config.size / (config.sample_rate_hz * window_.enbw_bins * sum * sum);
}

void Stft::push(std::span<const float> audio) noexcept {
    const std::size_t to_end = std::min(audio.size(), ring_.size() - oldest_);
    std::copy_n(audio.begin(), to_end, ring_.begin() + static_cast<std::ptrdiff_t>(oldest_));
    std::copy(audio.begin() + static_cast<std::ptrdiff_t>(to_end), audio.end(), ring_.begin());
    oldest_ = (oldest_ + audio.size()) % ring_.size();
    count_ += static_cast<FrameIndex>(audio.size());
}

std::span<const float> Stft::make_row() noexcept {
    next_row_at_ += config_.hop;
    const auto input = fft_.input();
    const std::size_t size = ring_.size();
    for (std::size_t n = 0; n < size - oldest_; ++n)
        input[n] = ring_[oldest_ + n] * window_.weights[n];
    for (std::size_t n = size - oldest_; n < size; ++n)
        input[n] = ring_[n - (size - oldest_)] * window_.weights[n];
    const auto bins = fft_.transform();
    for (std::size_t bin = 0; bin < row_.size(); ++bin) {
        // 0 Hz and half the rate stand for one side only.
        const bool single = bin == 0 || (config_.size % 2 == 0 && bin + 1 == row_.size());
        const double power =
            static_cast<double>(std::norm(bins[bin])) * (single ? 0.5 * scale_ : scale_);
        row_[bin] = config_.scale == RowScale::density
                        ? static_cast<float>(power)
                        : static_cast<float>(std::max(kFloorDbfs, db_from_power(power + 1e-30)));
    }
    return row_;
}

void Stft::reset() noexcept {
    std::fill(ring_.begin(), ring_.end(), 0.0F);
    oldest_ = 0;
    count_ = 0;
    next_row_at_ = config_.size;
}

}  // namespace skedlark::spectrum
