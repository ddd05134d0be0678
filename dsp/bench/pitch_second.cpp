#include "dsp/bench/pitch_second.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "dsp/bench/input_check.h"
#include "dsp/core/units.h"

namespace skedlark::bench {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
// The four quarters' peaks must stand so close to one line. A peak's error at the weakest is 0.4 Hz.
constexpr double kOffLineHz = 3.0;
constexpr double kSteepestHzPerS = 60.0;
// Mean peak over mean noise. The strongest of 800 bins of noise is at 7 on the mean, 15 once in 4000, and four
// such on one line do not come.
constexpr double kLeastPeak = 12.0;
constexpr double kRivalShare = 0.25;
constexpr double kApartHz = 30.0;
constexpr double kEdgeHz = 15.0;
constexpr double kNoiseReachHz = 400.0;
constexpr double kSnrBandwidthHz = 2400.0;
// Chi-square of 29 degrees of freedom over 29 that chance passes once in 10,000.
constexpr double kClearlyMore = 2.2;

}  // namespace

PitchMeter::PitchMeter(const PitchSearch& search, spectrum::RealFft fft)
    : search_(search),
      fft_(std::move(fft)),
      frames_(static_cast<std::size_t>(std::lround(search.sample_rate_hz))),
      quarter_(frames_ / kQuarters),
      bin_hz_(search.sample_rate_hz / fft_.size()) {
    window_ = spectrum::make_window(spectrum::WindowKind::hann, static_cast<int>(quarter_));
    for (auto& quarter : quarters_) quarter.resize(static_cast<std::size_t>(fft_.bins()));
    mean_.resize(static_cast<std::size_t>(fft_.bins()));
    scratch_.reserve(2 * mean_.size());
}

Result<PitchMeter> PitchMeter::create(const PitchSearch& search) {
    if (Status s = within_range("sample_rate_hz", search.sample_rate_hz, 8000.0, 16000.0); !s)
        return s.error();
    if (Status s = within_range("low_hz", search.low_hz, 20.0, 3000.0); !s) return s.error();
    if (Status s = within_range("high_hz", search.high_hz, search.low_hz + 100.0,
                                0.45 * search.sample_rate_hz);
        !s) {
        return s.error();
    }
    int size = 1024;
    while (size < 0.4 * search.sample_rate_hz) size *= 2;
    auto fft = spectrum::RealFft::create(size);
    if (!fft) return fft.error();
    return PitchMeter(search, std::move(*fft));
}

void PitchMeter::look(std::span<const float> second) {
    std::fill(mean_.begin(), mean_.end(), 0.0);
    for (std::size_t q = 0; q < kQuarters; ++q) {
        const auto input = fft_.input();
        std::fill(input.begin(), input.end(), 0.0F);
        const float* piece = second.data() + q * quarter_;
        // A constant would leak into the lowest pitches.
        const auto mean = static_cast<float>(std::accumulate(piece, piece + quarter_, 0.0) /
                                             static_cast<double>(quarter_));
        for (std::size_t i = 0; i < quarter_; ++i)
            input[i] = (piece[i] - mean) * window_.weights[i];
        const auto bins = fft_.transform();
        for (std::size_t i = 0; i < bins.size(); ++i) {
            quarters_[q][i] = static_cast<double>(std::norm(bins[i]));
            mean_[i] += quarters_[q][i] / kQuarters;
        }
    }
}

PitchMeter::Peak PitchMeter::peak_of(const std::vector<double>& power, double from_hz, double to_hz,
                                     double beside_hz, double apart_hz) const {
    const auto from = static_cast<std::size_t>(std::max(1.0, from_hz / bin_hz_));
    const auto to = std::min(power.size() - 2, static_cast<std::size_t>(to_hz / bin_hz_));
    std::size_t best = 0;
    for (std::size_t i = from; i <= to; ++i) {
        if (apart_hz > 0.0 && std::abs(static_cast<double>(i) * bin_hz_ - beside_hz) < apart_hz)
            continue;
        if (best == 0 || power[i] > power[best]) best = i;
    }
    if (best == 0) return {};
    const auto level = [&](std::size_t i) { return std::log(power[i] + 1e-300); };
    const double below = level(best - 1), here = level(best), above = level(best + 1);
    const double bend = below - 2.0 * here + above;
    const double shift = bend < 0.0 ? std::clamp(0.5 * (below - above) / bend, -0.5, 0.5) : 0.0;
    return {(static_cast<double>(best) + shift) * bin_hz_, power[best]};
}

// Mean power of a bin: the median of those around, over ln 2, of the quarters one by one.
double PitchMeter::noise_beside(double pitch_hz) const {
    scratch_.clear();
    const double low = std::max(search_.low_hz * 0.5, pitch_hz - kNoiseReachHz);
    const double high = std::min(search_.high_hz, pitch_hz + kNoiseReachHz);
    // Every third bin: the window and the zeros beside it make neighbours alike.
    for (auto i = static_cast<std::size_t>(low / bin_hz_); static_cast<double>(i) * bin_hz_ < high;
         i += 3) {
        if (std::abs(static_cast<double>(i) * bin_hz_ - pitch_hz) < kApartHz) continue;
        scratch_.push_back(quarters_[0][i]);
        scratch_.push_back(quarters_[2][i]);
    }
    if (scratch_.empty()) return 0.0;
    const auto middle = scratch_.begin() + static_cast<std::ptrdiff_t>(scratch_.size() / 2);
    std::nth_element(scratch_.begin(), middle, scratch_.end());
    return *middle / std::numbers::ln2;
}

bool PitchMeter::find_line(PitchSecond& found) {
    std::array<Peak, kQuarters> peaks;
    // From the clearest quarter outwards, no farther than a carrier drifts.
    std::size_t clearest = 0;
    for (std::size_t q = 0; q < kQuarters; ++q) {
        peaks[q] = peak_of(quarters_[q], search_.low_hz, search_.high_hz, 0.0, 0.0);
        if (peaks[q].power > peaks[clearest].power) clearest = q;
    }
    for (std::size_t q = 0; q < kQuarters; ++q) {
        const double apart_s =
            0.25 * std::abs(static_cast<double>(q) - static_cast<double>(clearest));
        const double reach = 4.0 + kSteepestHzPerS * apart_s;
        peaks[q] = peak_of(quarters_[q], std::max(search_.low_hz, peaks[clearest].hz - reach),
                           std::min(search_.high_hz, peaks[clearest].hz + reach), 0.0, 0.0);
    }
    double mean_hz = 0.0, slope = 0.0, power = 0.0;
    for (std::size_t q = 0; q < kQuarters; ++q) {
        const double at = (static_cast<double>(q) - 1.5) * 0.25;
        mean_hz += peaks[q].hz / kQuarters;
        slope += peaks[q].hz * at / 0.3125;  // sum of the squares of the places
        power += peaks[q].power / kQuarters;
    }
    const double noise = noise_beside(mean_hz);
    if (!(noise >= 0.0) || power < kLeastPeak * noise || power <= 0.0) return false;
    for (std::size_t q = 0; q < kQuarters; ++q) {
        const double at = (static_cast<double>(q) - 1.5) * 0.25;
        if (std::abs(peaks[q].hz - mean_hz - slope * at) > kOffLineHz) return false;
    }
    double squares = 0.0;
    for (const float w : window_.weights)
        squares += static_cast<double>(w) * static_cast<double>(w);
    noise_density_ = noise / (squares * 0.5 * search_.sample_rate_hz);  // one-sided
    found.pitch_hz = mean_hz;
    found.slope_hz_per_s = slope;
    return true;
}

bool PitchMeter::is_rivalled(const PitchSecond& found, double& second_hz) const {
    const double apart = kApartHz + std::abs(found.slope_hz_per_s);
    const Peak main = peak_of(mean_, found.pitch_hz - apart, found.pitch_hz + apart, 0.0, 0.0);
    const Peak other = peak_of(mean_, search_.low_hz, search_.high_hz, found.pitch_hz, apart);
    if (other.power < kRivalShare * main.power || other.power < kLeastPeak * noise_beside(other.hz))
        return false;
    // Harmonics of one tone are no second one.
    const double order = std::max(other.hz, found.pitch_hz) / std::min(other.hz, found.pitch_hz);
    if (std::abs(order - std::round(order)) < 0.01 * order) return false;
    second_hz = other.hz;
    return true;
}

void PitchMeter::refine(std::span<const float> second, PitchSecond& found) {
    const double rate = search_.sample_rate_hz;
    const std::size_t part = frames_ / kParts;
    const double middle = 0.5 * static_cast<double>(part * kParts - 1);
    const double length_s = static_cast<double>(part * kParts) / rate;
    double spread = 0.0;
    std::complex<double> sum;
    for (int round = 0; round < 3; ++round) {
        std::array<std::complex<double>, kParts> parts{};
        // The turn of a parabola of phase is itself turned a little at each sample.
        const auto phase_at = [&](double t) {
            return -kTwoPi * (found.pitch_hz * t + 0.5 * found.slope_hz_per_s * t * t);
        };
        const std::complex<double> bend =
            std::polar(1.0, -kTwoPi * found.slope_hz_per_s / (rate * rate));
        for (std::size_t p = 0; p < kParts; ++p) {
            const double t = (static_cast<double>(p * part) - middle) / rate;
            std::complex<double> turn = std::polar(1.0, phase_at(t));
            std::complex<double> step = std::polar(1.0, phase_at(t + 1.0 / rate) - phase_at(t));
            for (std::size_t i = p * part; i < (p + 1) * part; ++i) {
                parts[p] += static_cast<double>(second[i]) * turn;
                turn *= step;
                step *= bend;
            }
        }
        sum = {};
        for (const auto& z : parts) sum += z;
        Eigen::Matrix3d normal = Eigen::Matrix3d::Zero();
        Eigen::Vector3d right = Eigen::Vector3d::Zero();
        std::array<double, kParts> phases{};
        for (std::size_t p = 0; p < kParts; ++p) {
            const double t = (static_cast<double>(p) - 0.5 * (kParts - 1)) * length_s / kParts;
            phases[p] = std::arg(parts[p] * std::conj(sum));
            const Eigen::Vector3d row(1.0, kTwoPi * t, std::numbers::pi * t * t);
            normal += row * row.transpose();
            right += row * phases[p];
        }
        const Eigen::Vector3d fit = normal.ldlt().solve(right);
        spread = 0.0;
        for (std::size_t p = 0; p < kParts; ++p) {
            const double t = (static_cast<double>(p) - 0.5 * (kParts - 1)) * length_s / kParts;
            const double off =
                phases[p] - fit(0) - kTwoPi * t * fit(1) - std::numbers::pi * t * t * fit(2);
            spread += off * off / (kParts - 3);
        }
        found.pitch_hz += fit(1);
        found.slope_hz_per_s += fit(2);
    }
    // From the middle of the parts to that of the second.
    found.pitch_hz += found.slope_hz_per_s * (0.5 * static_cast<double>(frames_) - middle) / rate;
    found.amplitude = 2.0 * std::abs(sum) / static_cast<double>(part * kParts);
    const double carrier = 0.5 * found.amplitude * found.amplitude;
    const double density = std::max(noise_density_, 1e-12 * carrier);
    found.snr_2400hz_db = db_from_power(carrier / (density * kSnrBandwidthHz));
    // Phase variance of one part: noise power in its band over twice the carrier's.
    const double expected = density * kParts / length_s / (2.0 * carrier);
    const double bound =
        6.0 * density / (kTwoPi * kTwoPi * carrier * length_s * length_s * length_s);
    const double more = spread > kClearlyMore * expected ? spread / expected : 1.0;
    found.sd_hz = std::sqrt(bound * more);
}

PitchSecond PitchMeter::measure(std::span<const float> second) {
    PitchSecond found;
    if (second.size() < frames_) return found;
    look(second);
    if (!find_line(found)) return found;
    found.state = ToneState::one;
    if (is_rivalled(found, found.second_hz)) found.state = ToneState::two;
    refine(second, found);
    if (found.pitch_hz < search_.low_hz + kEdgeHz || found.pitch_hz > search_.high_hz - kEdgeHz) {
        found.state = ToneState::at_edge;
    }
    return found;
}

}  // namespace skedlark::bench
