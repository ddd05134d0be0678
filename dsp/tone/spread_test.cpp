#include "dsp/tone/spread_test.h"

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <utility>

#include "dsp/core/units.h"

namespace skedlark::tone {
namespace {

constexpr int kLook = 256;
constexpr int kHop = 128;
constexpr double kBinHz = kWorkRateHz / kLook;
// The tone itself; what lies so far from it, and from its multiples, is something else. A raw or
// clicking note stays within the first, an overloaded one puts its harmonics where the second
// leaves them out.
constexpr double kNearHz = 70.0;
constexpr double kFarHz = 300.0;
constexpr double kMultipleHz = 100.0;
constexpr double kPassFromHz = 250.0;
constexpr double kPassToHz = 3400.0;
// A look counts when the tone is this much over its own quiet level in it, in the look before and
// in the one after: longer than a crash of static.
constexpr double kNearRise = 4.0;
// The rest is high with it when it rises above its own quiet level by this share of the tone's
// power and by this share of that level. Speech has a ratio of 0.3 and more, a keyed note on a
// clipping set under 0.05.
constexpr double kFarShare = 0.04;
constexpr double kFarRise = 0.8;
// Looks remembered, those needed, and the shares at which the verdict turns.
constexpr double kMemoryLooks = 250.0;
constexpr double kLeastLooks = 20.0;
constexpr double kTurnsSpread = 0.66;
constexpr double kTurnsBack = 0.45;
// The quiet level: this part of the looks of the last ten seconds lies under it.
constexpr std::size_t kLooksKept = 640;
constexpr double kQuietPart = 0.25;
constexpr int kFloorEvery = 16;
// The quiet level of fewer looks may be that of the first moment of sound.
constexpr std::size_t kLooksToKnow = 40;
// Whoever speaks falls silent now and then. Where the rest has not come down to its quiet level for
// so many looks (1 s), noise itself has risen (an input unmuted, a gain turned up): all begins
// anew. Noise alone keeps its quietest look under 1.2 of that level.
constexpr std::size_t kRisenLooks = 64;
constexpr double kRisen = 1.8;

bool near_multiple(double hz, double pitch_hz) {
    const double multiple = std::round(hz / pitch_hz);
    return multiple >= 1.0 && std::abs(hz - multiple * pitch_hz) < kMultipleHz;
}

}  // namespace

SpreadTest::SpreadTest(spectrum::RealFft fft)
    : fft_(std::move(fft)),
      window_(kLook),
      held_(kLook),
      near_(kLooksKept),
      far_(kLooksKept),
      sorted_(kLooksKept) {
    for (int i = 0; i < kLook; ++i) {
        window_[static_cast<std::size_t>(i)] =
            static_cast<float>(0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * i / kLook));
    }
}

Result<SpreadTest> SpreadTest::create() {
    auto fft = spectrum::RealFft::create(kLook);
    if (!fft) {
        return fft.error();
    }
    return SpreadTest(std::move(*fft));
}

void SpreadTest::reset() noexcept {
    filled_ = 0;
    reset_levels();
}

void SpreadTest::reset_levels() noexcept {
    next_ = count_ = 0;
    near_floor_ = far_floor_ = share_ = looks_ = 0.0;
    above_ = 0;
    before_ = {};
    since_floor_ = 0;
    spread_ = false;
}

void SpreadTest::process(std::span<const float> audio, double pitch_hz) noexcept {
    for (const float sample : audio) {
        held_[filled_++] = sample;
        if (filled_ == kLook) {
            look(pitch_hz);
            std::copy(held_.begin() + kHop, held_.end(), held_.begin());
            filled_ = kLook - kHop;
        }
    }
}

void SpreadTest::look(double pitch_hz) noexcept {
    const auto input = fft_.input();
    for (std::size_t i = 0; i < kLook; ++i) {
        input[i] = held_[i] * window_[i];
    }
    const auto bins = fft_.transform();
    double near = 0.0, far = 0.0;
    int near_bins = 0, far_bins = 0;
    for (int k = 0; k < static_cast<int>(bins.size()); ++k) {
        const double hz = k * kBinHz;
        const double power = static_cast<double>(std::norm(bins[static_cast<std::size_t>(k)]));
        if (std::abs(hz - pitch_hz) < kNearHz) {
            near += power;
            ++near_bins;
        } else if (hz > kPassFromHz && hz < kPassToHz && std::abs(hz - pitch_hz) > kFarHz &&
                   !near_multiple(hz, pitch_hz)) {
            far += power;
            ++far_bins;
        }
    }
    // Digital silence is no level to rise from.
    if (near_bins == 0 || far_bins == 0 || near + far <= 0.0) {
        return;
    }
    above_ = far > kRisen * far_floor_ ? above_ + 1 : 0;
    if (above_ > kRisenLooks) {
        reset_levels();
    }
    near_[next_] = static_cast<float>(near);
    far_[next_] = static_cast<float>(far);
    next_ = (next_ + 1) % kLooksKept;
    count_ = std::min(count_ + 1, kLooksKept);
    if (since_floor_-- <= 0) {
        since_floor_ = kFloorEvery;
        near_floor_ = quiet_level(near_);
        far_floor_ = quiet_level(far_);
    }
    const bool is_high = near > kNearRise * near_floor_;
    if (count_ >= kLooksToKnow && is_high && before_[0].high && before_[1].high) {
        judge(before_[0].near, before_[0].far);
    }
    before_[1] = before_[0];
    before_[0] = {near, far, is_high};
}

double SpreadTest::quiet_level(const std::vector<float>& looks) noexcept {
    const auto quiet = static_cast<std::ptrdiff_t>(kQuietPart * static_cast<double>(count_));
    std::copy_n(looks.begin(), count_, sorted_.begin());
    std::nth_element(sorted_.begin(), sorted_.begin() + quiet,
                     sorted_.begin() + static_cast<std::ptrdiff_t>(count_));
    return static_cast<double>(sorted_[static_cast<std::size_t>(quiet)]);
}

void SpreadTest::judge(double near, double far) noexcept {
    looks_ = std::min(looks_ + 1.0, kMemoryLooks);
    const bool high = far - far_floor_ > std::max(kFarShare * near, kFarRise * far_floor_);
    share_ += ((high ? 1.0 : 0.0) - share_) / looks_;
    if (looks_ >= kLeastLooks) {
        spread_ = spread_ ? share_ > kTurnsBack : share_ > kTurnsSpread;
    }
}

}  // namespace skedlark::tone
