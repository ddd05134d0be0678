#include "dsp/tone/glide_scale.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace skedlark::tone {
namespace {

constexpr std::array<double, 6> kOctaves = {150.0, 300.0, 600.0, 1200.0, 2400.0, 4800.0};

// Paths an hour from noise alone, in 200 to 3000 Hz: tests/accuracy/glide/glide_tails.
struct Tail {
    double noise_per_hour;
    double slope;
};
constexpr std::array<Tail, 6> kTails = {{
    {1.9e6, 0.651},
    {1.66e6, 0.620},
    {1.9e7, 0.780},
    {1.09e7, 0.818},
    {2.6e6, 0.767},
    {4.9e6, 0.869},
}};
constexpr double kMeasuredSpanHz = 2800.0;

// Rates of the paths: eight to the octave, and two beyond each end.
constexpr int kRates = 12;
constexpr double kRatesPerOctave = 8.0;
constexpr int kRatesPerLook = 2;
// Pitch may run through so many resolved cells in a look: longer looks find weaker stations but do
// not bend with the hand.
constexpr double kLookAtS = 0.1;
constexpr double kLookAtRate = 850.0;
constexpr double kLongestLookS = 0.18;

double octave_rate(std::size_t octave, double step) {
    return kOctaves[octave] * std::exp2((step - 1.5) / kRatesPerOctave);
}

GlideLooksConfig looks_config(double high_hz, std::size_t octave) {
    GlideLooksConfig config;
    config.high_hz = high_hz;
    const double middle = kOctaves[octave] * std::sqrt(2.0);
    config.window_s = std::min(kLongestLookS, kLookAtS * std::sqrt(kLookAtRate / middle));
    // Whole fives of milliseconds have quick transforms.
    config.window_s = std::round(config.window_s * 200.0) / 200.0;
    for (int k = 0; k < kRates / kRatesPerLook; ++k)
        config.rates_hz_per_s.push_back(
            octave_rate(octave, kRatesPerLook * k + 0.5 * (kRatesPerLook - 1)));
    return config;
}

GlidePathConfig path_config(double low_hz, std::size_t octave) {
    GlidePathConfig config;
    config.low_hz = low_hz;
    for (int k = 0; k < kRates; ++k) config.rates_hz_per_s.push_back(octave_rate(octave, k));
    config.rates_per_look = kRatesPerLook;
    return config;
}

}  // namespace

std::span<const double> glide_octaves() { return kOctaves; }

GlideScale::GlideScale(double low_hz, double high_hz, std::size_t octave)
    : octave_(octave),
      span_((high_hz - low_hz) / kMeasuredSpanHz),
      looks_(looks_config(high_hz, octave)),
      paths_(path_config(low_hz, octave), looks_) {}

void GlideScale::process(std::span<const float> audio) {
    looks_.process(audio);
    for (; next_row_ < looks_.end_row(); ++next_row_)
        best_.push_back(paths_.advance(looks_, next_row_));
}

void GlideScale::finish() {
    looks_.finish();
    process({});
}

double GlideScale::known_until_s() const { return looks_.row_centre_s(looks_.end_row()); }
double GlideScale::batch_s() const { return GlideLooks::kBatchRows * looks_.hop_s(); }

std::int64_t GlideScale::row_at(double at_s) const {
    const double row = (at_s - looks_.row_centre_s(0)) / looks_.hop_s();
    return std::clamp(static_cast<std::int64_t>(std::ceil(row)), looks_.first_row(),
                      looks_.end_row());
}

double GlideScale::best_score(double from_s, double to_s) const {
    double most = 0.0;
    for (std::int64_t row = row_at(from_s); row < row_at(to_s); ++row)
        most = std::max(most, best_[static_cast<std::size_t>(row - first_best_)]);
    return most;
}

GlideMask GlideScale::make_mask(double from_s, double to_s) const {
    return {row_at(from_s), row_at(to_s), looks_.cells()};
}

GlidePath GlideScale::best_path(double from_s, double to_s, const GlideMask& mask) {
    return paths_.trace(looks_, row_at(from_s), row_at(to_s), mask);
}

void GlideScale::forget_before(double at_s) {
    looks_.forget_before(row_at(at_s));
    const auto gone = static_cast<std::ptrdiff_t>(looks_.first_row() - first_best_);
    best_.erase(best_.begin(), best_.begin() + gone);
    first_best_ = looks_.first_row();
}

double GlideScale::false_per_hour(double score) const {
    const Tail& tail = kTails[octave_];
    return span_ * tail.noise_per_hour * std::exp(-tail.slope * score);
}

}  // namespace skedlark::tone
