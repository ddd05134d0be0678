#include "dsp/bench/contact_levels.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "dsp/bench/contact_fit.h"
#include "dsp/bench/quadratic_tail.h"
#include "dsp/core/units.h"
#include "dsp/spectrum/real_fft.h"
#include "dsp/spectrum/window.h"

namespace skedlark::bench {
namespace {

constexpr double kLookS = 0.4;
constexpr double kBlockS = 0.010;
constexpr double kReachS = 1.0;
constexpr double kLowestHz = 120.0;
constexpr double kHumBelowHz = 130.0;
constexpr double kLongestLagS = 0.017;
// A line of 15 dB over its neighbours comes from noise once in exp(31) bins.
constexpr double kLineOverNeighbours = 31.6;
constexpr double kSecondTone = 0.1;  // of the first one's power
// A moment this far under the usual is itself a long dropout: its level is no level to measure by.
constexpr double kLeastOfUsual = 0.25;

struct Look {
    double pitch_hz = 0.0;  // 0: no line
    double second_hz = 0.0;
    double hum_share = 0.0;
};

double quantile(std::vector<double> values, double share) {
    if (values.empty()) return 0.0;
    const auto place = static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), values.begin() + place, values.end());
    return values[static_cast<std::size_t>(place)];
}

class Looker {
 public:
    static Result<Looker> create(double rate_hz) {
        int size = 1024;
        while (size * 2 <= kLookS * 1.4 * rate_hz) size *= 2;
        auto fft = spectrum::RealFft::create(size);
        if (!fft) return fft.error();
        return Looker(std::move(*fft), rate_hz);
    }
    [[nodiscard]] int size() const { return fft_.size(); }

    Look look(std::span<const float> audio) {
        const auto input = fft_.input();
        for (std::size_t i = 0; i < input.size(); ++i) input[i] = audio[i] * window_.weights[i];
        const auto bins = fft_.transform();
        power_.resize(bins.size());
        double all = 0.0, hum = 0.0;
        for (std::size_t i = 0; i < bins.size(); ++i) {
            power_[i] = static_cast<double>(std::norm(bins[i]));
            if (i > 2) all += power_[i];
            if (i > 2 && static_cast<double>(i) * bin_hz_ < kHumBelowHz) hum += power_[i];
        }
        Look look;
        look.hum_share = all > 0.0 ? hum / all : 0.0;
        const int first = strongest(-1);
        if (!is_line(first)) return look;
        look.pitch_hz = refined(first);
        const int second = strongest(first);
        if (is_line(second) && power_[static_cast<std::size_t>(second)] >
                                   kSecondTone * power_[static_cast<std::size_t>(first)]) {
            look.second_hz = refined(second);
        }
        return look;
    }

 private:
    Looker(spectrum::RealFft fft, double rate_hz)
        : fft_(std::move(fft)),
          window_(spectrum::make_window(spectrum::WindowKind::hann, fft_.size())),
          bin_hz_(rate_hz / fft_.size()) {}

    // Not within 30 Hz of the bin `beside`.
    [[nodiscard]] int strongest(int beside) const {
        const int from = static_cast<int>(kLowestHz / bin_hz_) + 1;
        const int guard = static_cast<int>(30.0 / bin_hz_) + 1;
        int best = -1;
        for (int i = from; i + 1 < static_cast<int>(power_.size()); ++i) {
            if (beside >= 0 && std::abs(i - beside) <= guard) continue;
            if (best < 0 ||
                power_[static_cast<std::size_t>(i)] > power_[static_cast<std::size_t>(best)])
                best = i;
        }
        return best;
    }
    [[nodiscard]] bool is_line(int bin) const {
        double sum = 0.0;
        int count = 0;
        for (int i = bin - 24; i <= bin + 24; ++i) {
            if (std::abs(i - bin) <= 4 || i < 1 || i >= static_cast<int>(power_.size())) continue;
            sum += power_[static_cast<std::size_t>(i)];
            ++count;
        }
        return count > 10 &&
               power_[static_cast<std::size_t>(bin)] > kLineOverNeighbours * sum / count;
    }
    // Between bins, by the parabola through the amplitudes' logarithms.
    [[nodiscard]] double refined(int bin) const {
        const auto level = [&](int i) {
            return std::log(power_[static_cast<std::size_t>(i)] + 1e-300);
        };
        const double below = level(bin - 1), here = level(bin), above = level(bin + 1);
        const double bend = below - 2.0 * here + above;
        const double shift = bend < 0.0 ? 0.5 * (below - above) / bend : 0.0;
        return (bin + std::clamp(shift, -0.5, 0.5)) * bin_hz_;
    }

    spectrum::RealFft fft_;
    spectrum::Window window_;
    double bin_hz_;
    std::vector<double> power_;
};

// Blocks of 10 ms: total power, fitted tone, what is left of it.
struct Block {
    double power = 0.0;
    double amplitude = 0.0;
    double rest = 0.0;
};

std::vector<Block> measure_blocks(std::span<const float> audio, double rate_hz,
                                  const ContactLevels& levels) {
    const auto length = static_cast<std::size_t>(std::lround(kBlockS * rate_hz));
    std::vector<Block> blocks;
    blocks.reserve(audio.size() / length + 1);
    for (std::size_t at = 0; at + length <= audio.size(); at += length) {
        const auto piece = audio.subspan(at, length);
        Block block;
        if (levels.has_tone) {
            const double middle_s =
                (static_cast<double>(at) + 0.5 * static_cast<double>(length)) / rate_hz;
            const ToneFit fit = fit_tone(piece, levels.at(middle_s).pitch_hz / rate_hz);
            block = {fit.power, fit.amplitude, fit.rest_power};
        } else {
            for (const float x : piece)
                block.power += static_cast<double>(x) * static_cast<double>(x);
            block.power /= static_cast<double>(length);
            block.rest = block.power;
        }
        blocks.push_back(block);
    }
    return blocks;
}

void set_levels(ContactLevels& levels, const std::vector<Block>& blocks, double median_to_mean) {
    const auto reach = static_cast<std::ptrdiff_t>(kReachS / kBlockS);
    const auto per_moment = kMomentS / kBlockS;
    const auto last = static_cast<std::ptrdiff_t>(blocks.size());
    std::vector<double> noise, amplitude;
    for (std::size_t m = 0; m < levels.moments.size(); ++m) {
        const auto middle =
            static_cast<std::ptrdiff_t>((static_cast<double>(m) + 0.5) * per_moment);
        const auto from = std::clamp<std::ptrdiff_t>(middle - reach, 0,
                                                     std::max<std::ptrdiff_t>(0, last - 2 * reach));
        noise.clear();
        amplitude.clear();
        for (auto i = from; i < std::min(from + 2 * reach, last); ++i) {
            noise.push_back(blocks[static_cast<std::size_t>(i)].rest);
            amplitude.push_back(blocks[static_cast<std::size_t>(i)].amplitude);
        }
        levels.moments[m].noise_power = quantile(noise, 0.5) / median_to_mean;
        if (levels.has_tone) levels.moments[m].tone_amplitude = quantile(amplitude, 0.5);
    }
    std::vector<double> powers, amplitudes;
    for (const Moment& m : levels.moments) {
        powers.push_back(m.noise_power);
        amplitudes.push_back(m.tone_amplitude);
    }
    const double usual_noise = quantile(powers, 0.7), usual_tone = quantile(amplitudes, 0.7);
    for (Moment& m : levels.moments) {
        if (m.noise_power < kLeastOfUsual * usual_noise) m.noise_power = usual_noise;
        if (m.tone_amplitude < std::sqrt(kLeastOfUsual) * usual_tone) m.tone_amplitude = usual_tone;
    }
    levels.tone_over_noise_db = levels.has_tone && usual_noise > 0.0
                                    ? db_from_power(0.5 * usual_tone * usual_tone / usual_noise)
                                    : 0.0;
}

// From the quiet half of the blocks: static lifts only the loud half. What their spread has over that of even noise.
double swing_nepers(const ContactLevels& levels, const std::vector<Block>& blocks, double freedom,
                    const std::vector<Stretch>& at_rest) {
    constexpr double kOneSigmaBelow = 0.1587;
    constexpr double kClearlyMore = 1.15;  // even noise: 1 +- 0.03 over 5 s
    std::vector<double> relative;
    for (std::size_t i = 0; i < blocks.size(); ++i) {
        const double at_s = (static_cast<double>(i) + 0.5) * kBlockS;
        if (std::none_of(at_rest.begin(), at_rest.end(),
                         [&](const Stretch& s) { return at_s >= s.from_s && at_s < s.to_s; }))
            continue;
        const double usual = levels.at(at_s).noise_power;
        relative.push_back(std::log(std::max(blocks[i].rest, 1e-30) / usual));
    }
    if (relative.size() < 100) return 0.0;
    const double below = quantile(relative, 0.5) - quantile(relative, kOneSigmaBelow);
    const auto chi_square = [&](double z) {
        const double root = 1.0 - 2.0 / (9.0 * freedom) + z * std::sqrt(2.0 / (9.0 * freedom));
        return 3.0 * std::log(root);
    };
    const double even = chi_square(0.0) - chi_square(-1.0);
    return below > kClearlyMore * even ? std::sqrt(below * below - even * even) : 0.0;
}

// From pieces of usual power only, tone taken out.
std::vector<double> noise_covariance(std::span<const float> audio, double rate_hz,
                                     const ContactLevels& levels) {
    const auto lags = static_cast<std::size_t>(kLongestLagS * rate_hz) + 1;
    int size = 1;
    while (static_cast<std::size_t>(size) < 6 * lags) size *= 2;
    std::vector<double> covariance(lags, 0.0);
    auto fft = spectrum::RealFft::create(2 * size);
    auto back = spectrum::RealFft::create(2 * size);
    if (!fft || !back) return covariance;
    std::vector<double> density(static_cast<std::size_t>(size) + 1, 0.0);
    const std::size_t pieces = audio.size() / static_cast<std::size_t>(size);
    const std::size_t step = std::max<std::size_t>(1, pieces / 200);  // 200 pieces say enough
    for (std::size_t p = 0; p < pieces; p += step) {
        const auto piece =
            audio.subspan(p * static_cast<std::size_t>(size), static_cast<std::size_t>(size));
        const double middle_s = (static_cast<double>(p) + 0.5) * size / rate_hz;
        const Moment& moment = levels.at(middle_s);
        std::vector<float> rest(piece.begin(), piece.end());
        if (levels.has_tone) take_out_tone(rest, moment.pitch_hz / rate_hz);
        double power = 0.0;
        for (const float x : rest) power += static_cast<double>(x) * static_cast<double>(x);
        power /= size;
        if (power < 0.5 * moment.noise_power || power > 2.0 * moment.noise_power) continue;
        const auto input = fft->input();
        std::fill(input.begin(), input.end(), 0.0F);
        std::copy(rest.begin(), rest.end(), input.begin());
        const auto bins = fft->transform();
        for (std::size_t i = 0; i < density.size(); ++i)
            density[i] += static_cast<double>(std::norm(bins[i])) / power;
    }
    // The power spectrum is even, so one more forward transform leads back.
    const auto input = back->input();
    for (std::size_t i = 0; i < density.size(); ++i) {
        input[i] = static_cast<float>(density[i]);
        if (i > 0) input[static_cast<std::size_t>(2 * size) - i] = static_cast<float>(density[i]);
    }
    const auto sums = back->transform();
    const auto zero = static_cast<double>(sums[0].real());
    if (!(zero > 0.0)) {
        covariance[0] = 1.0;
        return covariance;
    }
    for (std::size_t lag = 0; lag < lags; ++lag) {
        const double kept = 1.0 - static_cast<double>(lag) / size;
        covariance[lag] = static_cast<double>(sums[lag].real()) / zero / kept;
    }
    return covariance;
}

Status judge_looks(const std::vector<Look>& looks, ContactLevels& levels) {
    std::vector<double> pitches, seconds, hum;
    for (const Look& look : looks) {
        if (look.pitch_hz > 0.0) pitches.push_back(look.pitch_hz);
        if (look.second_hz > 0.0) seconds.push_back(look.second_hz);
        hum.push_back(look.hum_share);
    }
    if (const double share = quantile(hum, 0.5); share > 0.5) {
        return Error{
            ErrorCode::invalid_value,
            fmt::format("audio: {:.0f} % of its power is mains hum below {:.0f} Hz; a dropout of "
                        "the rest would not be heard in it: cure the hum first",
                        100.0 * share, kHumBelowHz)};
    }
    levels.has_tone = 2 * pitches.size() > looks.size();
    if (levels.has_tone) levels.pitch_hz = quantile(pitches, 0.5);
    if (2 * seconds.size() > looks.size()) {
        const double second_hz = quantile(seconds, 0.5);
        const double order =
            std::max(second_hz, levels.pitch_hz) / std::min(second_hz, levels.pitch_hz);
        if (std::abs(order - std::round(order)) > 0.02) {
            return Error{
                ErrorCode::invalid_value,
                fmt::format("audio: two tones, near {:.0f} and {:.0f} Hz; give one steady tone, or "
                            "none (the receiver's own noise)",
                            levels.pitch_hz, second_hz)};
        }
    }
    return Done{};
}

}  // namespace

const Moment& ContactLevels::at(double seconds) const {
    const auto place = static_cast<std::ptrdiff_t>(std::max(0.0, seconds) / kMomentS);
    return moments[static_cast<std::size_t>(
        std::min(place, static_cast<std::ptrdiff_t>(moments.size()) - 1))];
}

Result<ContactLevels> measure_contact_levels(std::span<const float> audio, double sample_rate_hz,
                                             const std::vector<Stretch>& at_rest) {
    auto looker = Looker::create(sample_rate_hz);
    if (!looker) return looker.error();
    ContactLevels levels;
    const double length_s = static_cast<double>(audio.size()) / sample_rate_hz;
    levels.moments.resize(static_cast<std::size_t>(std::ceil(length_s / kMomentS)));
    std::vector<Look> looks;
    const auto size = static_cast<std::size_t>(looker->size());
    for (std::size_t m = 0; m < levels.moments.size(); ++m) {
        const double middle = (static_cast<double>(m) + 0.5) * kMomentS * sample_rate_hz -
                              0.5 * static_cast<double>(size);
        const auto from = static_cast<std::size_t>(
            std::clamp(middle, 0.0, static_cast<double>(audio.size() - size)));
        looks.push_back(looker->look(audio.subspan(from, size)));
    }
    if (Status s = judge_looks(looks, levels); !s) return s.error();
    double pitch_hz = levels.pitch_hz;
    for (std::size_t m = 0; m < levels.moments.size(); ++m) {
        if (looks[m].pitch_hz > 0.0 && std::abs(looks[m].pitch_hz - pitch_hz) < 200.0)
            pitch_hz = looks[m].pitch_hz;
        levels.moments[m].pitch_hz = pitch_hz;
    }
    const auto blocks = measure_blocks(audio, sample_rate_hz, levels);
    set_levels(levels, blocks, 1.0);
    levels.covariance = noise_covariance(audio, sample_rate_hz, levels);
    const int block_length = static_cast<int>(std::lround(kBlockS * sample_rate_hz));
    const double freedom = degrees_of_freedom(levels.covariance, block_length);
    const double root = 1.0 - 2.0 / (9.0 * freedom);
    set_levels(levels, blocks, root * root * root);
    levels.swing_nepers = swing_nepers(levels, blocks, freedom, at_rest);
    if (!(levels.moments.front().power() > 0.0)) {
        return Error{ErrorCode::not_found, "audio: neither noise nor a tone was found in it"};
    }
    return levels;
}

}  // namespace skedlark::bench
