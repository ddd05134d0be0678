#include "dsp/tone/static_meter.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "dsp/core/units.h"
#include "dsp/spectrum/nth_smallest.h"
#include "dsp/spectrum/window.h"

namespace skedlark::tone {
namespace {

constexpr int kCells = kStaticSpan / 2 + 1;
constexpr double kCellHz = kWorkRateHz / kStaticSpan;
// Every fourth look feeds the long-term level: 256 of them reach back 2.6 s.
constexpr int kLooksPerRow = 4;
// Hann: neighbouring cells share (2/3)^2 of their power fluctuation, the next ones (1/6)^2.
constexpr double kCellsPerIndependent = 1.0 + 2.0 * (4.0 / 9.0 + 1.0 / 36.0);
// Chance that a look lies in a crash, before seeing it, spread evenly over kCrashLogRange nepers of
// strength (1.5 to 3000 times). Tried .005 to .1: static_meter_test.cpp.
constexpr double kCrashChance = 0.02;
constexpr double kCrashLogRange = 7.6;
// Cells quieter than this below the loudest part of the passband may hold noise of another origin.
constexpr float kPassbandDepth = 0.03F;
constexpr float kToneOverFloor = 2.5F;
constexpr int kMinCells = 4;
// A cell this far above the middle one of its look holds a tone: noise gets there once in e^200.
constexpr float kToneOverMiddle = 300.0F;

// Posterior mean of the factor, from the mean ratio of some independent exponential cells.
double shrunk(double mean_ratio, double independent) {
    if (mean_ratio <= 1.0) return 1.0;
    // Gamma likelihood of the mean under factor mean_ratio against factor 1.
    const double log_ratio = independent * (mean_ratio - 1.0 - std::log(mean_ratio));
    // Laplace's width of the likelihood over the logarithm of the factor.
    const double width = std::sqrt(2.0 * std::numbers::pi / independent) / kCrashLogRange;
    const double odds = kCrashChance * width * std::exp(std::min(log_ratio, 60.0));
    return 1.0 + (mean_ratio - 1.0) * odds / (1.0 + odds);
}

// Most that a tone leaks so many cells from its strongest one, over the power there. Side lobes of
// a Hann window lie under 1 / (pi x (x^2 - 1)), x cells off; the tone lies up to half a cell beside
// the middle of its own, which then holds kHalfCellOff of its power.
float leakage_at(int cells_off) {
    constexpr double kHalfCellOff = 0.72;
    if (cells_off < 2) return 1.0F;
    const double x = cells_off - 0.5;
    const double amplitude = 1.0 / (std::numbers::pi * x * (x * x - 1.0));
    return static_cast<float>(amplitude * amplitude / kHalfCellOff);
}

}  // namespace

Result<StaticMeter> StaticMeter::create() {
    auto fft = spectrum::RealFft::create(kStaticSpan);
    if (!fft) return fft.error();
    auto floor = spectrum::NoiseFloor::create(
        {.bins = kCells, .history_rows = 256, .neighbour_bins = 6, .update_every_rows = 100});
    if (!floor) return floor.error();
    return StaticMeter(std::move(*fft), std::move(*floor));
}

StaticMeter::StaticMeter(spectrum::RealFft fft, spectrum::NoiseFloor floor)
    : fft_(std::move(fft)),
      floor_(std::move(floor)),
      window_(spectrum::make_window(spectrum::WindowKind::hann, kStaticSpan).weights),
      power_(kCells),
      leakage_(kCells),
      ratios_(kCells) {
    cells_.reserve(kCells);
}

float StaticMeter::factor(std::span<const float> samples, double pitch_hz) noexcept {
    const auto input = fft_.input();
    for (std::size_t n = 0; n < input.size(); ++n) input[n] = samples[n] * window_[n];
    const auto bins = fft_.transform();
    for (std::size_t cell = 0; cell < power_.size(); ++cell) power_[cell] = std::norm(bins[cell]);

    bool renewed = false;
    if (calls_++ % kLooksPerRow == 0) renewed = floor_.add(power_);
    if (!floor_.ready()) return 1.0F;
    if (renewed || std::abs(pitch_hz - chosen_pitch_hz_) > 10.0) choose_cells(pitch_hz);
    if (cells_.empty()) return 1.0F;

    const auto level = floor_.bin_level();
    if (pitch_hz < 0.0) find_leakage();
    for (std::size_t i = 0; i < cells_.size(); ++i) {
        const auto cell = static_cast<std::size_t>(cells_[i]);
        const float noise = pitch_hz < 0.0 ? level[cell] + leakage_[cell] : level[cell];
        ratios_[i] = power_[cell] / noise;
    }
    const std::size_t count = cells_.size();
    const std::size_t used = std::max<std::size_t>(1, count * 3 / 4);
    // The smallest come to the front.
    const auto greatest =
        static_cast<double>(spectrum::nth_smallest({ratios_.data(), count}, used - 1));
    double sum = greatest * static_cast<double>(count - used);
    for (std::size_t i = 0; i < used; ++i) sum += static_cast<double>(ratios_[i]);
    const double mean_ratio = sum / static_cast<double>(used);
    const double independent = static_cast<double>(used) / kCellsPerIndependent;
    return static_cast<float>(shrunk(mean_ratio, std::max(1.0, independent)));
}

// The cells of the passband that hold noise: no tones, not the wanted one, not the filter's
// stopband.
void StaticMeter::choose_cells(double pitch_hz) noexcept {
    chosen_pitch_hz_ = pitch_hz;
    const auto density = floor_.density();
    const auto level = floor_.bin_level();
    float loudest = 0.0F;
    for (int cell = 1; cell < kCells - 1; ++cell)
        loudest = std::max(loudest, density[static_cast<std::size_t>(cell)]);
    // Twice: where the wanted tone's surroundings are all there is (a narrow filter), take those
    // too.
    for (const double away_hz : {1.6 * kCellHz, 0.0}) {
        cells_.clear();
        for (int cell = 1; cell < kCells - 1; ++cell) {
            const auto at = static_cast<std::size_t>(cell);
            if (level[at] <= 0.0F || density[at] < kPassbandDepth * loudest) continue;
            if (away_hz > 0.0 && level[at] > kToneOverFloor * density[at]) continue;
            if (std::abs(cell * kCellHz - pitch_hz) < away_hz) continue;
            cells_.push_back(cell);
        }
        if (static_cast<int>(cells_.size()) >= kMinCells) return;
    }
}

// From tones on both sides of 0 Hz into each cell; 0 where no tone stands out.
void StaticMeter::find_leakage() noexcept {
    std::fill(leakage_.begin(), leakage_.end(), 0.0F);
    for (std::size_t i = 0; i < cells_.size(); ++i)
        ratios_[i] = power_[static_cast<std::size_t>(cells_[i])];
    const float middle = spectrum::nth_smallest({ratios_.data(), cells_.size()}, cells_.size() / 2);
    for (int tone = 1; tone < kCells - 1; ++tone) {
        const float power = power_[static_cast<std::size_t>(tone)];
        if (power < kToneOverMiddle * middle) continue;
        for (int cell = 0; cell < kCells; ++cell)
            leakage_[static_cast<std::size_t>(cell)] +=
                power * (leakage_at(std::abs(cell - tone)) + leakage_at(cell + tone));
    }
}

void StaticMeter::reset() noexcept {
    floor_.reset();
    cells_.clear();
    chosen_pitch_hz_ = -1.0;
    calls_ = 0;
}

}  // namespace skedlark::tone
