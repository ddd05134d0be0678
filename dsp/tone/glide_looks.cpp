#include "dsp/tone/glide_looks.h"

#include <algorithm>
#include <bit>
#include <cmath>
#include <numbers>

#include "dsp/core/vector_clones.h"
#include "dsp/spectrum/nth_smallest.h"
#include "dsp/spectrum/window.h"

namespace skedlark::tone {
namespace {

constexpr float kLn2 = 0.6931472F;
// Cells to each side over which the noise is smoothed, and how far above its surroundings a cell
// must stand to be a line of its own.
constexpr int kSmoothCells = 8;
constexpr float kLine = 1.6F;
// Powers below it are digital silence, not noise: far under the last bit of 24-bit audio.
constexpr float kSilence = 1e-16F;

int even_window(double window_s) { return 2 * static_cast<int>(window_s * kWorkRateHz / 2.0); }

SKEDLARK_VECTOR_CLONES
void powers_of(const std::complex<float>* bins, float* out, int count) {
    const auto* parts = reinterpret_cast<const float*>(bins);
    for (int k = 0; k < count; ++k)
        out[k] = parts[2 * k] * parts[2 * k] + parts[2 * k + 1] * parts[2 * k + 1];
}

SKEDLARK_VECTOR_CLONES
void multiply(const float* audio, const std::complex<float>* weights, std::complex<float>* out,
              int count) {
    const auto* w = reinterpret_cast<const float*>(weights);
    auto* o = reinterpret_cast<float*>(out);
    for (int n = 0; n < count; ++n) {
        o[2 * n] = audio[n] * w[2 * n];
        o[2 * n + 1] = audio[n] * w[2 * n + 1];
    }
}

// The upper bits of a float are its exponent and the first of its mantissa: a logarithm in straight
// pieces, good enough for a scale.
constexpr int kMantissaBits = 3;
constexpr int kShift = 23 - kMantissaBits;
constexpr int kFirstStep = (127 - 2) << kMantissaBits;  // of 0.25

SKEDLARK_VECTOR_CLONES
void to_steps(const float* power, const float* scale, float factor, std::uint8_t* out, int count) {
    for (int k = 0; k < count; ++k) {
        const float ratio = power[k] * scale[k] * factor;
        const auto step =
            static_cast<int>(std::bit_cast<std::uint32_t>(ratio) >> kShift) - kFirstStep;
        out[k] = static_cast<std::uint8_t>(std::clamp(step, 0, 255));
    }
}

}  // namespace

GlideLooks::GlideLooks(const GlideLooksConfig& config)
    : config_(config),
      window_(even_window(config.window_s)),
      hop_(window_ / 2),
      cells_(static_cast<int>(config.high_hz * 2.0 * window_ / kWorkRateHz) + 1),
      cell_hz_(kWorkRateHz / (2.0 * window_)),
      fft_(*spectrum::ComplexFft::create(2 * window_)) {
    const auto window = spectrum::make_window(spectrum::WindowKind::hann, window_);
    double power = 0.0;
    for (const float w : window.weights) power += static_cast<double>(w) * static_cast<double>(w);
    density_scale_ = 2.0 / (power * kWorkRateHz);
    for (const double rate : config_.rates_hz_per_s) {
        auto& chirp = chirps_.emplace_back(static_cast<std::size_t>(window_));
        for (int n = 0; n < window_; ++n) {
            const double t = (n - 0.5 * window_) / kWorkRateHz;
            chirp[static_cast<std::size_t>(n)] =
                std::polar(window.weights[static_cast<std::size_t>(n)],
                           static_cast<float>(-std::numbers::pi * rate * t * t));
        }
    }
    ring_.reserve(static_cast<std::size_t>(window_));
    raw_.resize(static_cast<std::size_t>(kBatchRows) * config_.rates_hz_per_s.size() * 2U *
                static_cast<std::size_t>(cells_));
    std::fill(fft_.input().begin(), fft_.input().end(), std::complex<float>{});
}

float* GlideLooks::raw(int row, int rate, GlideWay way) {
    const int place = (row * rates() + rate) * 2 + (way == GlideWay::rising ? 1 : 0);
    return raw_.data() + static_cast<std::size_t>(place) * static_cast<std::size_t>(cells_);
}

void GlideLooks::process(std::span<const float> audio) {
    for (const float sample : audio) {
        ring_.push_back(std::isfinite(sample) ? sample : 0.0F);
        if (ring_.size() < static_cast<std::size_t>(window_)) continue;
        make_row();
        ring_.erase(ring_.begin(), ring_.begin() + hop_);
    }
}

void GlideLooks::make_row() {
    for (int rate = 0; rate < rates(); ++rate) {
        const auto& chirp = chirps_[static_cast<std::size_t>(rate)];
        auto input = fft_.input();
        multiply(ring_.data(), chirp.data(), input.data(), window_);
        std::fill(input.begin() + window_, input.end(), std::complex<float>{});
        const auto bins = fft_.transform();
        powers_of(bins.data(), raw(raw_rows_, rate, GlideWay::rising), cells_);
        float* falling = raw(raw_rows_, rate, GlideWay::falling);
        falling[0] = std::norm(bins[0]);
        const std::size_t size = bins.size();
        for (std::size_t k = 1; k < static_cast<std::size_t>(cells_); ++k)
            falling[k] = std::norm(bins[size - k]);
    }
    if (++raw_rows_ == kBatchRows) close_batch();
}

// A batch of few rows has no noise of its own: the one before lends its.
void GlideLooks::close_batch() {
    if (raw_rows_ == 0) return;
    Batch batch;
    if (raw_rows_ >= kBatchRows / 4 || batches_.empty()) {
        measure_floor(batch, raw_rows_);
    } else {
        batch.floor = batches_.back().floor;
    }
    measure_loudness(batch, raw_rows_);
    const auto cells = static_cast<std::size_t>(cells_);
    batch.powers.resize(static_cast<std::size_t>(raw_rows_ * rates() * 2) * cells);
    scratch_.resize(cells);
    for (std::size_t k = 0; k < cells; ++k)
        scratch_[k] = batch.floor[k] > kSilence ? 1.0F / batch.floor[k] : 0.0F;
    for (int row = 0; row < raw_rows_; ++row) {
        const float factor = 1.0F / batch.loudness[static_cast<std::size_t>(row)];
        for (int place = row * rates() * 2; place < (row + 1) * rates() * 2; ++place) {
            const std::size_t at = static_cast<std::size_t>(place) * cells;
            to_steps(raw_.data() + at, scratch_.data(), factor, batch.powers.data() + at, cells_);
        }
    }
    batches_.push_back(std::move(batch));
    end_row_ += raw_rows_;
    raw_rows_ = 0;
}

void GlideLooks::measure_floor(Batch& batch, int rows) {
    const auto cells = static_cast<std::size_t>(cells_);
    const int rate = rates() / 2;
    std::vector<float> level(cells);
    scratch_.resize(static_cast<std::size_t>(2 * rows));
    for (std::size_t k = 0; k < cells; ++k) {
        for (int row = 0; row < rows; ++row) {
            scratch_[static_cast<std::size_t>(2 * row)] = raw(row, rate, GlideWay::falling)[k];
            scratch_[static_cast<std::size_t>(2 * row + 1)] = raw(row, rate, GlideWay::rising)[k];
        }
        level[k] = spectrum::nth_smallest(scratch_, static_cast<std::size_t>(rows)) / kLn2;
    }
    batch.floor.resize(cells);
    for (int k = 0; k < cells_; ++k) {
        const int from = std::max(0, k - kSmoothCells);
        const int to = std::min(cells_, k + kSmoothCells + 1);
        float sum = 0.0F;
        for (int i = from; i < to; ++i) sum += level[static_cast<std::size_t>(i)];
        const float smooth = sum / static_cast<float>(to - from);
        const float own = level[static_cast<std::size_t>(k)];
        batch.floor[static_cast<std::size_t>(k)] = own > kLine * smooth ? own : smooth;
    }
}

void GlideLooks::measure_loudness(Batch& batch, int rows) {
    const auto cells = static_cast<std::size_t>(cells_);
    const int rate = rates() / 2;
    scratch_.resize(cells);
    for (int row = 0; row < rows; ++row) {
        const float* power = raw(row, rate, GlideWay::rising);
        for (std::size_t k = 0; k < cells; ++k)
            scratch_[k] = batch.floor[k] > kSilence ? power[k] / batch.floor[k] : 0.0F;
        const float middle = spectrum::nth_smallest(scratch_, cells / 2) / kLn2;
        batch.loudness.push_back(std::max(1.0F, middle));
    }
}

// The middle of the step; the lowest stands for all below it as well.
double GlideLooks::power_of_step(std::uint8_t step) {
    if (step == 0) return 0.125;
    const int place = kFirstStep + step;
    const double mantissa =
        1.0 + ((place & ((1 << kMantissaBits) - 1)) + 0.5) / (1 << kMantissaBits);
    return std::ldexp(mantissa, (place >> kMantissaBits) - 127);
}

void GlideLooks::finish() { close_batch(); }

std::span<const std::uint8_t> GlideLooks::row(std::int64_t row, int rate, GlideWay way) const {
    const auto in_batches = static_cast<std::size_t>(row - first_row_);
    const Batch& batch = batches_[in_batches / kBatchRows];
    const std::size_t place =
        (in_batches % kBatchRows * config_.rates_hz_per_s.size() + static_cast<std::size_t>(rate)) *
            2U +
        (way == GlideWay::rising ? 1U : 0U);
    const auto cells = static_cast<std::size_t>(cells_);
    return {batch.powers.data() + place * cells, cells};
}

double GlideLooks::noise_density(std::int64_t row, int cell) const {
    const auto in_batches = static_cast<std::size_t>(row - first_row_);
    const Batch& batch = batches_[in_batches / kBatchRows];
    return density_scale_ * static_cast<double>(batch.floor[static_cast<std::size_t>(cell)]) *
           static_cast<double>(batch.loudness[in_batches % kBatchRows]);
}

double GlideLooks::mean_noise_density(std::int64_t from, std::int64_t to, double low_hz) const {
    const int first = std::min(static_cast<int>(std::lround(low_hz / cell_hz_)), cells_ - 1);
    double inverse = 0.0;
    double silent = 0.0;
    double count = 0.0;
    for (std::int64_t row = from; row < to; ++row) {
        for (int cell = first; cell < cells_; ++cell) {
            const double density = noise_density(row, cell);
            count += 1.0;
            if (density > density_scale_ * static_cast<double>(kSilence)) {
                inverse += 1.0 / density;
            } else {
                silent += 1.0;
            }
        }
    }
    return silent > 0.5 * count || inverse == 0.0 ? 0.0 : (count - silent) / inverse;
}

// Whole batches only: a batch with a row still wanted stays.
void GlideLooks::forget_before(std::int64_t row) {
    std::size_t gone = 0;
    while (gone < batches_.size() && first_row_ + kBatchRows <= std::min(row, end_row_)) {
        first_row_ += kBatchRows;
        ++gone;
    }
    batches_.erase(batches_.begin(), batches_.begin() + static_cast<std::ptrdiff_t>(gone));
}

}  // namespace skedlark::tone
