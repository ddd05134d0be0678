#include "gui/listen/level_meter.h"

#include <algorithm>
#include <cmath>

#include "dsp/core/units.h"

namespace skedlark::gui {

namespace {

constexpr int kSecond = static_cast<int>(kWorkRateHz);
constexpr double kFloorDbfs = -200.0;
// 20 dB a second, sample by sample.
const float kFall = static_cast<float>(std::pow(10.0, -1.0 / kWorkRateHz));

double dbfs(float peak) {
    return peak > 0.0F ? std::max(kFloorDbfs, 20.0 * std::log10(static_cast<double>(peak)))
                       : kFloorDbfs;
}

}  // namespace

void LevelMeter::add(std::span<const float> audio, bool lost) {
    for (const float sample : audio) {
        if (in_second_ == kSecond) {
            std::rotate(seconds_.rbegin(), seconds_.rbegin() + 1, seconds_.rend());
            seconds_.front() = {};
            in_second_ = 0;
        }
        ++in_second_;
        shown_ *= kFall;
        if (lost || !std::isfinite(sample)) continue;
        const float size = std::abs(sample);
        Second& now = seconds_.front();
        ++now.heard;
        now.peak = std::max(now.peak, size);
        now.clipped += size >= audio::kFullScale ? 1 : 0;
        shown_ = std::max(shown_, size);
    }
}

Level LevelMeter::level() const {
    Second all;
    for (const Second& one : seconds_) {
        all.peak = std::max(all.peak, one.peak);
        all.clipped += one.clipped;
        all.heard += one.heard;
    }
    Level level;
    level.peak_dbfs = dbfs(shown_);
    if (all.peak <= 0.0F) {
        level.verdict = audio::LevelVerdict::no_signal;
    } else if (all.clipped > audio::kClippedShare * all.heard) {
        level.verdict = audio::LevelVerdict::clipping;
    } else if (dbfs(all.peak) < audio::kTooLowDbfs) {
        level.verdict = audio::LevelVerdict::too_low;
    } else {
        level.verdict = audio::LevelVerdict::good;
    }
    return level;
}

void LevelMeter::reset() { *this = LevelMeter(); }

}  // namespace skedlark::gui
