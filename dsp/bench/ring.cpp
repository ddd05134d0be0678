#include "dsp/bench/ring.h"

#include <algorithm>
#include <boost/math/distributions/students_t.hpp>
#include <cmath>

#include "dsp/bench/decimator.h"
#include "dsp/bench/input_check.h"
#include "dsp/core/units.h"

namespace skedlark::bench {
namespace {

constexpr double kShortestS = 2.0, kLongestS = 600.0;
constexpr double kWindowS = 0.002;
constexpr double kApartS = 0.3;
constexpr double kLongestRingS = 0.5;
constexpr double kShortestRingS = 0.03;
constexpr double kSameShare = 0.05;
constexpr double kMostLoudShare = 0.5;

std::vector<double> window_powers(std::span<const float> audio, std::size_t window) {
    std::vector<double> powers;
    for (std::size_t at = 0; at + window <= audio.size(); at += window) {
        double sum = 0.0;
        for (std::size_t i = at; i < at + window; ++i)
            sum += static_cast<double>(audio[i]) * static_cast<double>(audio[i]);
        powers.push_back(sum / static_cast<double>(window));
    }
    return powers;
}

// Mean power of the quiet half: of Gaussian noise in 2 ms, 0.73 of its mean on the average over band widths of
// 2 to 4 kHz.
double noise_power(std::vector<double> powers) {
    constexpr double kQuietHalf = 0.73;
    const auto half = powers.begin() + static_cast<std::ptrdiff_t>(powers.size() / 2);
    std::nth_element(powers.begin(), half, powers.end());
    double sum = 0.0;
    for (auto it = powers.begin(); it != half; ++it) sum += *it;
    return sum / static_cast<double>(half - powers.begin()) / kQuietHalf;
}

// First windows that rise over the limit after a while below it.
std::vector<std::size_t> find_taps(const std::vector<double>& powers, double limit) {
    const auto apart = static_cast<std::size_t>(kApartS / kWindowS);
    const auto look = static_cast<std::size_t>(0.02 / kWindowS);
    std::vector<std::size_t> taps;
    std::size_t at = 0;
    while (at < powers.size()) {
        if (powers[at] <= limit) {
            ++at;
            continue;
        }
        const auto end =
            powers.begin() + static_cast<std::ptrdiff_t>(std::min(powers.size(), at + look));
        taps.push_back(static_cast<std::size_t>(
            std::max_element(powers.begin() + static_cast<std::ptrdiff_t>(at), end) -
            powers.begin()));
        // A long ringing is no second tap: the next one must rise anew.
        at += apart;
        while (at < powers.size() && powers[at] > limit && powers[at] < 4.0 * powers[at - 1]) ++at;
    }
    return taps;
}

bool is_clipped(std::span<const float> audio, double rate_hz, double from_s, double to_s) {
    const auto from = std::min(audio.size(), static_cast<std::size_t>(from_s * rate_hz));
    const auto to = std::min(audio.size(), static_cast<std::size_t>(to_s * rate_hz));
    return !check_clipping(audio.subspan(from, to - from)).ok();
}

double median(std::vector<double> values) {
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

Figure weighted_mean(const std::vector<std::pair<double, double>>& values_and_sds) {
    double weights = 0.0, sum = 0.0;
    for (const auto& [value, sd] : values_and_sds) {
        const double w = 1.0 / std::max(sd * sd, 1e-18);
        weights += w;
        sum += w * value;
    }
    const double mean = sum / weights;
    double chi_square = 0.0;
    for (const auto& [value, sd] : values_and_sds)
        chi_square += std::pow((value - mean) / std::max(sd, 1e-9), 2);
    const auto freedom = static_cast<double>(values_and_sds.size()) - 1.0;
    double coverage = expanded_95(1.0);
    double wider = 1.0;
    // Taps that scatter clearly more than their noise: the scatter counts, with Student's law for so few.
    if (freedom > 0.0 && chi_square > 2.0 * freedom + 5.0) {
        wider = std::sqrt(chi_square / freedom);
        coverage = boost::math::quantile(boost::math::students_t(freedom), 0.975);
    }
    return {mean, coverage * wider / std::sqrt(weights)};
}

// The main mode of most taps, and the figures over those.
void put_together(Ring& ring) {
    std::vector<double> pitches;
    for (const Tap& tap : ring.taps) {
        if (!tap.modes.empty()) pitches.push_back(tap.modes.front().hz);
    }
    if (pitches.empty()) return;
    const double usual_hz = median(pitches);
    std::vector<std::pair<double, double>> hz, rate;
    std::vector<double> over;
    for (Tap& tap : ring.taps) {
        const auto mode = std::find_if(tap.modes.begin(), tap.modes.end(), [&](const auto& m) {
            return std::abs(m.hz - usual_hz) < kSameShare * usual_hz;
        });
        if (mode == tap.modes.end()) continue;
        std::rotate(tap.modes.begin(), mode, mode + 1);
        tap.same = true;
        tap.over_noise_db =
            db_from_power(0.5 * tap.modes.front().amplitude * tap.modes.front().amplitude) -
            ring.noise_dbfs - db_from_power(0.5);
        hz.emplace_back(tap.modes.front().hz, tap.modes.front().hz_sd);
        rate.emplace_back(tap.modes.front().rate_per_s, tap.modes.front().rate_sd_per_s);
        over.push_back(tap.over_noise_db);
        ++ring.ringing;
    }
    ring.frequency_hz = weighted_mean(hz);
    const Figure mean_rate = weighted_mean(rate);
    const double decay_s = 1.0 / mean_rate.value;
    ring.decay_s = Figure{decay_s, mean_rate.uncertainty_95 * decay_s * decay_s};
    double sum = 0.0, squares = 0.0;
    for (const double db : over) sum += db;
    const auto count = static_cast<double>(over.size());
    for (const double db : over) squares += std::pow(db - sum / count, 2);
    const double sd = count > 1.0 ? std::sqrt(squares / (count - 1.0) / count) : 3.0;
    ring.over_noise_db =
        Figure{sum / count,
               count > 1.0 ? boost::math::quantile(boost::math::students_t(count - 1.0), 0.975) * sd
                           : expanded_95(sd)};
}

}  // namespace

Result<Ring> measure_ring(std::span<const float> audio, const RingConfig& config) {
    if (Status s = check_audio(audio, config.sample_rate_hz, kShortestS); !s) return s.error();
    const double length_s = static_cast<double>(audio.size()) / config.sample_rate_hz;
    if (Status s = within_range("audio length in s", length_s, kShortestS, kLongestS); !s)
        return s.error();
    if (Status s = within_range("least_rise_db", config.least_rise_db, 6.0, 60.0); !s)
        return s.error();
    if (Status s = within_range("thump_s", config.thump_s, 0.001, 0.1); !s) return s.error();
    auto decimator = Decimator::create(config.sample_rate_hz);
    if (!decimator) return decimator.error();
    std::vector<float> slow;
    decimator->process(audio, slow);
    const double rate_hz = decimator->rate_hz();
    const auto window = static_cast<std::size_t>(kWindowS * rate_hz);
    const double window_s = static_cast<double>(window) / rate_hz;
    const auto powers = window_powers(slow, window);
    const double noise = std::max(noise_power(powers), 1e-14);

    Ring ring;
    ring.noise_dbfs = db_from_power(2.0 * noise);
    const double limit = noise * power_from_db(config.least_rise_db);
    const auto loud =
        std::count_if(powers.begin(), powers.end(), [&](double p) { return p > limit; });
    if (static_cast<double>(loud) > kMostLoudShare * static_cast<double>(powers.size())) {
        return Error{ErrorCode::invalid_value,
                     "audio: loud most of the time, so that no tap stands out; record the noise "
                     "alone, with a second or so between the taps"};
    }
    const auto starts = find_taps(powers, limit);
    for (std::size_t n = 0; n < starts.size(); ++n) {
        Tap tap;
        tap.at_s = static_cast<double>(starts[n]) * window_s;
        const double from_s = tap.at_s + window_s + config.thump_s;
        const double next_s =
            n + 1 < starts.size() ? static_cast<double>(starts[n + 1]) * window_s - 0.02 : length_s;
        const double to_s =
            std::min({from_s + kLongestRingS, next_s, static_cast<double>(slow.size()) / rate_hz});
        if (to_s - from_s < kShortestRingS) continue;
        tap.clipped = is_clipped(audio, config.sample_rate_hz, from_s, from_s + 0.05);
        const auto from = static_cast<std::size_t>(from_s * rate_hz);
        const auto to = static_cast<std::size_t>(to_s * rate_hz);
        if (!tap.clipped)
            tap.modes = fit_damped(std::span<const float>(slow).subspan(from, to - from), rate_hz);
        ring.taps.push_back(tap);
    }
    if (ring.taps.empty()) {
        return Error{ErrorCode::not_found,
                     "audio: no tap rises over the noise; tap harder, or turn the volume up"};
    }
    put_together(ring);
    return ring;
}

}  // namespace skedlark::bench
