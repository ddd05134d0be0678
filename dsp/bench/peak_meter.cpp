#include "dsp/bench/peak_meter.h"

#include <algorithm>
#include <cmath>

#include "dsp/bench/input_check.h"

namespace skedlark::bench {
namespace {

constexpr double kReadingsPerSecond = 20.0;
constexpr double kFloorPower = 5e-21;  // -200 dBFS
constexpr float kClipped = 0.999F;

}  // namespace

PeakMeter::PeakMeter(const PeakMeterConfig& config)
    : config_(config),
      keep_(std::exp(-1.0 / (config.rise_s * config.sample_rate_hz))),
      step_(std::llround(config.sample_rate_hz / kReadingsPerSecond)) {
    next_reading_ = step_;
}

Result<PeakMeter> PeakMeter::create(const PeakMeterConfig& config) {
    if (Status s = check_rate(config.sample_rate_hz); !s) return s.error();
    if (Status s = within_range("rise_s", config.rise_s, 0.02, 5.0); !s) return s.error();
    return PeakMeter(config);
}

bool PeakMeter::process(std::span<const float> audio) noexcept {
    bool read_any = false;
    for (const float sample : audio) {
        double x = 0.0;
        if (std::isfinite(sample)) {
            x = static_cast<double>(sample);
        } else {
            ++bad_samples_;
        }
        if (std::abs(sample) >= kClipped) clipped_ = true;
        power_ = keep_ * power_ + (1.0 - keep_) * x * x;
        weight_ = keep_ * weight_ + (1.0 - keep_);
        if (++frame_ == next_reading_) {
            next_reading_ += step_;
            read();
            read_any = true;
        }
    }
    return read_any;
}

void PeakMeter::read() noexcept {
    const double level_db =
        db_from_power(std::max(2.0 * power_ / weight_, 2.0 * kFloorPower * 0.5));
    reading_.level_dbfs = std::max(-200.0, level_db);
    reading_.clipped = clipped_;
    clipped_ = false;
    recent_db_[readings_++ % kRecent] = reading_.level_dbfs;
    // Before one time constant has passed the level is that of too little audio.
    const bool settled = weight_ > 0.63;
    if (settled && reading_.level_dbfs > reading_.held_dbfs) {
        reading_.held_dbfs = reading_.level_dbfs;
        reading_.held_at_s = static_cast<double>(frame_) / config_.sample_rate_hz;
    }
    const int count = std::min(readings_, kRecent);
    double mean = 0.0, squares = 0.0;
    for (int i = 0; i < count; ++i) mean += recent_db_[i] / count;
    for (int i = 0; i < count; ++i) squares += (recent_db_[i] - mean) * (recent_db_[i] - mean);
    reading_.noise_db = count > 1 ? std::sqrt(squares / (count - 1)) : 0.0;
}

void PeakMeter::release() noexcept {
    reading_.held_dbfs = reading_.level_dbfs;
    reading_.held_at_s = static_cast<double>(frame_) / config_.sample_rate_hz;
}

}  // namespace skedlark::bench
