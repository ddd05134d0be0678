#include <algorithm>
#include <cmath>

#include "dsp/core/units.h"
#include "dsp/dial/detection.h"
#include "dsp/dial/finder_curve.h"
#include "dsp/dial/within.h"

namespace skedlark::dial {
namespace {

// What the curve was measured with: 200 to 3000 Hz heard of a receiver that passes 300 to 3000 Hz,
// 12 to 20 wpm.
constexpr double kMeasuredPassbandHz = 2700.0;
constexpr double kMeasuredSpeedWpm = 16.0;
constexpr double kKeyDownShare = 22.0 / 50.0;

// Level for 90 % by Albersheim (Proc. IEEE 69 (1981) 839) at a millionth false alarms a cell; only
// differences of it are used.
double needed_db(double passband_hz, double speed_wpm, double rate_hz_per_s) {
    const double look_s = dit_s(speed_wpm);
    const double looks = std::max(1.0, 2.0 * passband_hz / rate_hz_per_s / look_s);
    const double a = std::log(0.62 / 1e-6);
    const double b = std::log(0.9 / 0.1);
    const double look_db = -5.0 * std::log10(looks) + (6.2 + 4.54 / std::sqrt(looks + 0.44)) *
                                                          std::log10(a + 0.12 * a * b + 1.7 * b);
    return look_db - 10.0 * std::log10(kReferenceBandwidthHz * kKeyDownShare * look_s);
}

}  // namespace

Result<DetectionModel> DetectionModel::glide_finder(const FinderChanceConfig& config) {
    for (const Status& s : {within("passband_hz", config.passband_hz, 100.0, 20000.0),
                            within("speed_wpm", config.speed_wpm, kMinSpeedWpm, kMaxSpeedWpm)}) {
        if (!s) return s.error();
    }
    auto curve = parse_detection(kFinderCurve, "glide_curve.csv");
    if (!curve) return curve;
    return DetectionModel([curve = *curve, config](double rate_hz_per_s, double snr_2500hz_db) {
        const double harder = needed_db(config.passband_hz, config.speed_wpm, rate_hz_per_s) -
                              needed_db(kMeasuredPassbandHz, kMeasuredSpeedWpm, rate_hz_per_s);
        return curve.chance(rate_hz_per_s, snr_2500hz_db - harder);
    });
}

}  // namespace skedlark::dial
