#include "dsp/bench/damped_fit.h"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>
#include <optional>

#include "dsp/spectrum/real_fft.h"

namespace skedlark::bench {
namespace {

constexpr double kTwoPi = 2.0 * std::numbers::pi;
constexpr double kLowestHz = 60.0;
constexpr double kHighestShare = 0.42;  // of the sample rate
constexpr double kLeastRate = 1.0, kMostRate = 2000.0;
constexpr double kFirstRates[] = {4.0, 10.0, 25.0, 60.0, 150.0};
// Over what Schwarz's criterion asks: the search looks at hundreds of pitches.
constexpr double kMargin = 25.0;
constexpr double kDensityReachHz = 150.0;

// cos and sin amplitude, pitch, rate: four a mode.
using Parameters = Eigen::VectorXd;

void fill_model(const Parameters& p, double rate_hz, Eigen::VectorXd& model,
                Eigen::MatrixXd* slopes) {
    model.setZero();
    const auto size = model.size();
    for (Eigen::Index m = 0; m < p.size() / 4; ++m) {
        const double a = p(4 * m), b = p(4 * m + 1);
        const std::complex<double> turn =
            std::exp(std::complex<double>(-p(4 * m + 3), kTwoPi * p(4 * m + 2)) / rate_hz);
        std::complex<double> wave = 1.0;
        for (Eigen::Index i = 0; i < size; ++i) {
            const double t = static_cast<double>(i) / rate_hz;
            const double value = a * wave.real() + b * wave.imag();
            model(i) += value;
            if (slopes != nullptr) {
                (*slopes)(i, 4 * m) = wave.real();
                (*slopes)(i, 4 * m + 1) = wave.imag();
                (*slopes)(i, 4 * m + 2) = kTwoPi * t * (b * wave.real() - a * wave.imag());
                (*slopes)(i, 4 * m + 3) = -t * value;
            }
            wave *= turn;
        }
    }
}

double squares_of(const Eigen::VectorXd& audio, const Parameters& p, double rate_hz) {
    Eigen::VectorXd model(audio.size());
    fill_model(p, rate_hz, model, nullptr);
    return (audio - model).squaredNorm();
}

bool is_allowed(const Parameters& p, double rate_hz) {
    for (Eigen::Index m = 0; m < p.size() / 4; ++m) {
        if (!(p(4 * m + 2) > 0.5 * kLowestHz && p(4 * m + 2) < 0.5 * rate_hz)) return false;
        if (!(p(4 * m + 3) > kLeastRate && p(4 * m + 3) < kMostRate)) return false;
    }
    return true;
}

void refine(const Eigen::VectorXd& audio, double rate_hz, Parameters& p) {
    Eigen::VectorXd model(audio.size());
    Eigen::MatrixXd slopes(audio.size(), p.size());
    double damping = 1e-3, squares = squares_of(audio, p, rate_hz);
    for (int round = 0; round < 40; ++round) {
        fill_model(p, rate_hz, model, &slopes);
        const Eigen::MatrixXd normal = slopes.transpose() * slopes;
        const Eigen::VectorXd right = slopes.transpose() * (audio - model);
        bool better = false;
        double gain = 0.0;
        for (int attempt = 0; attempt < 8 && !better; ++attempt) {
            Eigen::MatrixXd damped = normal;
            damped.diagonal() *= 1.0 + damping;
            const Parameters next = p + damped.ldlt().solve(right);
            const double now =
                is_allowed(next, rate_hz) ? squares_of(audio, next, rate_hz) : squares + 1.0;
            if (now < squares) {
                gain = (squares - now) / squares;
                p = next;
                squares = now;
                damping = std::max(1e-12, 0.2 * damping);
                better = true;
            } else {
                damping *= 6.0;
            }
        }
        if (!better || gain < 1e-9) break;
    }
}

std::vector<double> spectrum_of(const Eigen::VectorXd& audio, double& bin_hz, double rate_hz) {
    int size = 512;
    while (size < 2 * audio.size()) size *= 2;
    auto fft = spectrum::RealFft::create(size);
    if (!fft) return {};
    bin_hz = rate_hz / size;
    const auto input = fft->input();
    std::fill(input.begin(), input.end(), 0.0F);
    for (Eigen::Index i = 0; i < audio.size(); ++i)
        input[static_cast<std::size_t>(i)] = static_cast<float>(audio(i));
    std::vector<double> power;
    for (const auto& bin : fft->transform()) power.push_back(static_cast<double>(std::norm(bin)));
    return power;
}

// Where to begin: the three highest peaks of the spectrum by five rates, the best of them.
std::optional<Parameters> first_guess(const Eigen::VectorXd& audio, double rate_hz) {
    double bin_hz = 1.0;
    std::vector<double> power = spectrum_of(audio, bin_hz, rate_hz);
    std::optional<Parameters> best;
    double best_squares = audio.squaredNorm();
    const auto from = static_cast<std::size_t>(kLowestHz / bin_hz);
    const auto to =
        std::min(power.size(), static_cast<std::size_t>(kHighestShare * rate_hz / bin_hz));
    for (int peak = 0; peak < 3 && from < to; ++peak) {
        const auto top = std::max_element(power.begin() + static_cast<std::ptrdiff_t>(from),
                                          power.begin() + static_cast<std::ptrdiff_t>(to));
        const auto bin = static_cast<std::size_t>(top - power.begin());
        for (const double rate : kFirstRates) {
            Parameters p(4);
            p << 1.0, 0.0, static_cast<double>(bin) * bin_hz, rate;
            Eigen::VectorXd model(audio.size());
            Eigen::MatrixXd slopes(audio.size(), 4);
            fill_model(p, rate_hz, model, &slopes);
            const Eigen::MatrixXd waves = slopes.leftCols(2);
            p.head(2) = (waves.transpose() * waves).ldlt().solve(waves.transpose() * audio);
            const double squares = (audio - waves * p.head(2)).squaredNorm();
            if (squares < best_squares) {
                best_squares = squares;
                best = p;
            }
        }
        const auto reach = static_cast<std::size_t>(20.0 / bin_hz) + 1;
        for (std::size_t i = bin > reach ? bin - reach : 0; i < std::min(power.size(), bin + reach);
             ++i)
            power[i] = 0.0;
    }
    return best;
}

// Variance of white noise of the density found about a pitch.
double variance_about(const std::vector<double>& power, double bin_hz, double hz, double frames) {
    double sum = 0.0;
    long count = 0;
    for (std::size_t i = 1; i < power.size(); ++i) {
        if (std::abs(static_cast<double>(i) * bin_hz - hz) > kDensityReachHz) continue;
        sum += power[i];
        ++count;
    }
    return count > 0 ? sum / (static_cast<double>(count) * frames) : 0.0;
}

std::vector<DampedMode> modes_of(const Eigen::VectorXd& audio, double rate_hz,
                                 const Parameters& p) {
    Eigen::VectorXd model(audio.size());
    Eigen::MatrixXd slopes(audio.size(), p.size());
    fill_model(p, rate_hz, model, &slopes);
    const Eigen::MatrixXd inverse = (slopes.transpose() * slopes).inverse();
    double bin_hz = 1.0;
    const auto left = spectrum_of(audio - model, bin_hz, rate_hz);
    std::vector<DampedMode> modes;
    for (Eigen::Index m = 0; m < p.size() / 4; ++m) {
        const double variance =
            variance_about(left, bin_hz, p(4 * m + 2), static_cast<double>(audio.size()));
        const auto sd = [&](Eigen::Index i) {
            return std::sqrt(std::max(0.0, variance * inverse(i, i)));
        };
        DampedMode mode;
        mode.hz = p(4 * m + 2);
        mode.hz_sd = sd(4 * m + 2);
        mode.rate_per_s = p(4 * m + 3);
        mode.rate_sd_per_s = sd(4 * m + 3);
        mode.amplitude = std::hypot(p(4 * m), p(4 * m + 1));
        mode.amplitude_sd = std::max(sd(4 * m), sd(4 * m + 1));
        modes.push_back(mode);
    }
    std::sort(modes.begin(), modes.end(),
              [](const auto& a, const auto& b) { return a.energy() > b.energy(); });
    return modes;
}

}  // namespace

std::vector<DampedMode> fit_damped(std::span<const float> samples, double sample_rate_hz) {
    Eigen::VectorXd audio(static_cast<Eigen::Index>(samples.size()));
    for (std::size_t i = 0; i < samples.size(); ++i)
        audio(static_cast<Eigen::Index>(i)) = static_cast<double>(samples[i]);
    audio.array() -= audio.mean();
    const auto frames = static_cast<double>(samples.size());
    Parameters best(0);
    double squares = audio.squaredNorm();
    for (int count = 1; count <= kMaxModes; ++count) {
        Eigen::VectorXd rest = audio;
        if (best.size() > 0) {
            Eigen::VectorXd model(audio.size());
            fill_model(best, sample_rate_hz, model, nullptr);
            rest -= model;
        }
        const auto guess = first_guess(rest, sample_rate_hz);
        if (!guess) break;
        Parameters p(best.size() + 4);
        p << best, *guess;
        refine(audio, sample_rate_hz, p);
        const double now = squares_of(audio, p, sample_rate_hz);
        if (!is_allowed(p, sample_rate_hz) ||
            frames * std::log(squares / now) < 4.0 * std::log(frames) + kMargin)
            break;
        best = p;
        squares = now;
    }
    return best.size() > 0 ? modes_of(audio, sample_rate_hz, best) : std::vector<DampedMode>{};
}

}  // namespace skedlark::bench
