#include "dsp/bench/sine_fit.h"

#include <fmt/format.h>

#include <Eigen/Dense>
#include <cmath>
#include <numbers>

namespace skedlark::bench {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr int kMostIterations = 30;
constexpr double kFewestPeriods = 3.0;

Status check(std::span<const float> audio, double sample_rate_hz, double frequency_hz) {
    if (!(frequency_hz > 0.0 && frequency_hz < 0.5 * sample_rate_hz)) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("frequency_hz: {}; allowed: above 0, below {}", frequency_hz,
                                 0.5 * sample_rate_hz)};
    }
    const double periods = static_cast<double>(audio.size()) * frequency_hz / sample_rate_hz;
    if (audio.size() < 8 || periods < kFewestPeriods) {
        return Error{ErrorCode::invalid_value,
                     fmt::format("{} samples: too short; {} periods of {} Hz are needed",
                                 audio.size(), kFewestPeriods, frequency_hz)};
    }
    return Done{};
}

// Calls each(sample, time over half the length, cosine, sine) for all samples.
template <typename Each>
void over_samples(std::span<const float> audio, double sample_rate_hz, double frequency_hz,
                  double drift_hz_per_s, Each each) {
    const double middle = 0.5 * (static_cast<double>(audio.size()) - 1.0);
    const double half_s = (middle + 0.5) / sample_rate_hz;
    for (std::size_t n = 0; n < audio.size(); ++n) {
        const double t = (static_cast<double>(n) - middle) / sample_rate_hz;
        const double phase = kTwoPi * t * (frequency_hz + 0.5 * drift_hz_per_s * t);
        each(static_cast<double>(audio[n]), t / half_s, std::cos(phase), std::sin(phase));
    }
}

// amplitude * cos(phase + w) = a cos(w) - b sin(w)
SineFit solved(double a, double b, double offset, double frequency_hz, double drift_hz_per_s) {
    return {.amplitude = std::hypot(a, b),
            .phase_rad = std::atan2(b, a),
            .offset = offset,
            .frequency_hz = frequency_hz,
            .drift_hz_per_s = drift_hz_per_s};
}

// One Gauss-Newton step of the last `extra` parameters (0 to 2); they are moved in place.
struct Step {
    SineFit fit;
    double frequency_step_hz = 0.0;
    double drift_step_hz_per_s = 0.0;
};
template <int extra>
Step step(std::span<const float> audio, double sample_rate_hz, const SineFit& from) {
    constexpr int n = 3 + extra;
    using Matrix = Eigen::Matrix<double, n, n>;
    using Vector = Eigen::Matrix<double, n, 1>;
    Matrix normal = Matrix::Zero();
    Vector right = Vector::Zero();
    double square = 0.0;
    const double a = from.amplitude * std::cos(from.phase_rad);
    const double b = from.amplitude * std::sin(from.phase_rad);
    over_samples(audio, sample_rate_hz, from.frequency_hz, from.drift_hz_per_s,
                 [&](double x, double u, double c, double s) {
                     Vector row;
                     row[0] = c;
                     row[1] = -s;
                     row[2] = 1.0;
                     const double slope = -a * s - b * c;  // of the model by its phase
                     if constexpr (extra > 0) row[3] = u * slope;
                     if constexpr (extra > 1) row[4] = u * u * slope;
                     normal.template selfadjointView<Eigen::Lower>().rankUpdate(row);
                     right += x * row;
                     square += x * x;
                 });
    const Matrix whole = normal.template selfadjointView<Eigen::Lower>();
    const Vector found = whole.ldlt().solve(right);
    Step out{solved(found[0], found[1], found[2], from.frequency_hz, from.drift_hz_per_s)};
    const double left = square - found.dot(right);
    out.fit.residual_rms = std::sqrt(std::max(0.0, left) / static_cast<double>(audio.size()));
    const double half_s = 0.5 * static_cast<double>(audio.size()) / sample_rate_hz;
    if constexpr (extra > 0) out.frequency_step_hz = found[3] / (kTwoPi * half_s);
    if constexpr (extra > 1)
        out.drift_step_hz_per_s = found[4] / (std::numbers::pi * half_s * half_s);
    return out;
}

template <int extra>
Result<SineFit> iterate(std::span<const float> audio, double sample_rate_hz, double guess_hz,
                        double guess_hz_per_s) {
    if (const Status right = check(audio, sample_rate_hz, guess_hz); !right) return right.error();
    SineFit fit =
        step<0>(audio, sample_rate_hz, {.frequency_hz = guess_hz, .drift_hz_per_s = guess_hz_per_s})
            .fit;
    const double length_s = static_cast<double>(audio.size()) / sample_rate_hz;
    for (int round = 1; round <= kMostIterations; ++round) {
        const Step next = step<extra>(audio, sample_rate_hz, fit);
        const double frequency_hz = fit.frequency_hz + next.frequency_step_hz;
        const double drift = fit.drift_hz_per_s + next.drift_step_hz_per_s;
        if (!std::isfinite(frequency_hz) || !std::isfinite(drift) || frequency_hz <= 0.0 ||
            frequency_hz >= 0.5 * sample_rate_hz) {
            break;
        }
        fit =
            step<0>(audio, sample_rate_hz, {.frequency_hz = frequency_hz, .drift_hz_per_s = drift})
                .fit;
        fit.iterations = round;
        // Far below what noise allows; over the length this is 1e-7 of a period.
        if (std::abs(next.frequency_step_hz) * length_s < 1e-7 &&
            std::abs(next.drift_step_hz_per_s) * length_s * length_s < 1e-7) {
            return fit;
        }
    }
    return Error{ErrorCode::invalid_value,
                 fmt::format("no sine near {} Hz can be fitted to this audio", guess_hz)};
}

}  // namespace

Result<SineFit> fit_sine_3(std::span<const float> audio, double sample_rate_hz, double frequency_hz,
                           double drift_hz_per_s) {
    if (const Status right = check(audio, sample_rate_hz, frequency_hz); !right)
        return right.error();
    SineFit fit = step<0>(audio, sample_rate_hz,
                          {.frequency_hz = frequency_hz, .drift_hz_per_s = drift_hz_per_s})
                      .fit;
    fit.iterations = 1;
    return fit;
}

Result<SineFit> fit_sine_4(std::span<const float> audio, double sample_rate_hz, double guess_hz) {
    return iterate<1>(audio, sample_rate_hz, guess_hz, 0.0);
}

Result<SineFit> fit_sine_5(std::span<const float> audio, double sample_rate_hz, double guess_hz,
                           double guess_hz_per_s) {
    return iterate<2>(audio, sample_rate_hz, guess_hz, guess_hz_per_s);
}

double phase_at(const SineFit& fit, double from_middle_s) {
    return fit.phase_rad +
           kTwoPi * from_middle_s * (fit.frequency_hz + 0.5 * fit.drift_hz_per_s * from_middle_s);
}

double least_frequency_sd_hz(double amplitude, double noise_per_hz, double length_s) {
    return std::sqrt(3.0 * noise_per_hz / (length_s * length_s * length_s)) /
           (std::numbers::pi * amplitude);
}

double least_drift_sd_hz_per_s(double amplitude, double noise_per_hz, double length_s) {
    return std::sqrt(60.0) * least_frequency_sd_hz(amplitude, noise_per_hz, length_s) / length_s;
}

}  // namespace skedlark::bench
