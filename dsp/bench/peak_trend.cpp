#include "dsp/bench/peak_trend.h"

#include <algorithm>

namespace skedlark::bench {
namespace {

constexpr double kFollow = 0.02;  // of a reading
constexpr double kTimesNoise =
    3.0;  // two levels differ by 1.4 times it, and half a second shows it too small

}  // namespace

void PeakTrend::add(const PeakReading& reading) {
    const double before = levels_[count_ % kReadings];
    levels_[count_ % kReadings] = reading.level_dbfs;
    ++count_;
    // Followed slowly, and not beyond what it was: a change itself widens the fluctuation of late.
    rest_noise_db_ =
        count_ <= kReadings
            ? reading.noise_db
            : rest_noise_db_ + kFollow * (std::min(reading.noise_db, 3.0 * rest_noise_db_ + 0.05) -
                                          rest_noise_db_);
    if (count_ <= kReadings) return;
    change_db_ = reading.level_dbfs - before;
    const double least = std::max(kLeastDb, kTimesNoise * rest_noise_db_);
    now_ = change_db_ > least    ? Trend::rising
           : change_db_ < -least ? Trend::falling
                                 : Trend::steady;
    if (now_ != Trend::steady) last_ = now_;
}

}  // namespace skedlark::bench
