#include "dsp/synth/heard_station.h"

#include <cmath>
#include <complex>
#include <numbers>

namespace skedlark::synth {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
// The intermediate frequency's filter, on each side of the beat oscillator, parts of the sample
// rate.
constexpr double kFilterFlat = 0.40;
constexpr double kFilterEnd = 0.45;

double filter_gain(double pitch_hz, double sample_rate_hz) {
    const double part = std::abs(pitch_hz) / sample_rate_hz;
    if (part <= kFilterFlat) return 1.0;
    if (part >= kFilterEnd) return 0.0;
    const double way = (part - kFilterFlat) / (kFilterEnd - kFilterFlat);
    return 0.5 + 0.5 * std::cos(std::numbers::pi * way);
}

}  // namespace

HeardStation::HeardStation(const SweepStation& config, double amplitude, double sample_rate_hz,
                           const std::vector<Mark>& marks, std::uint64_t seed)
    : config_(config),
      amplitude_(amplitude),
      rate_hz_(sample_rate_hz),
      signal_(config.station, marks, amplitude, sample_rate_hz, derive_seed(seed, "signal")),
      programme_(config.programme, sample_rate_hz, derive_seed(seed, "programme")),
      phase_(kTwoPi * Random(derive_seed(seed, "phase")).uniform()) {}

double HeardStation::next(double tuned_hz) {
    std::complex<double> envelope;
    signal_.add({&envelope, 1});
    const double modulation = 1.0 + config_.depth * programme_.next();
    const double pitch_hz = config_.at_hz - tuned_hz;
    const double gain = filter_gain(pitch_hz, rate_hz_);
    if (gain == 0.0) return 0.0;
    phase_ = std::remainder(phase_ + kTwoPi * pitch_hz / rate_hz_, kTwoPi);
    return gain * modulation * (envelope * std::polar(1.0, phase_)).real();
}

bool HeardStation::crossed(double tuned_hz) {
    const double pitch_hz = config_.at_hz - tuned_hz;
    const bool passed = begun_ && (pitch_hz > 0.0) != (before_hz_ > 0.0);
    before_hz_ = pitch_hz;
    begun_ = true;
    return passed;
}

void HeardStation::send(const std::vector<Mark>& marks, std::uint64_t seed) {
    signal_ =
        StationSignal(config_.station, marks, amplitude_, rate_hz_, derive_seed(seed, "signal"));
}

}  // namespace skedlark::synth
