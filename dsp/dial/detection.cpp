#include "dsp/dial/detection.h"

#include <fmt/format.h>

#include <algorithm>
#include <boost/math/distributions/non_central_chi_squared.hpp>
#include <boost/math/special_functions/gamma.hpp>
#include <cmath>

#include "dsp/core/units.h"
#include "dsp/dial/within.h"

namespace skedlark::dial {
namespace {

namespace policies = boost::math::policies;
// No exception leaves dsp; what does not converge is judged below.
using Quiet = policies::policy<policies::domain_error<policies::ignore_error>,
                               policies::pole_error<policies::ignore_error>,
                               policies::overflow_error<policies::ignore_error>,
                               policies::evaluation_error<policies::ignore_error>>;

constexpr double kKeyDownShare = 22.0 / 50.0;  // of the word PARIS
constexpr double kMostLooks = 2000.0;          // more are bundled: the law hardly changes

double square_law_chance(const SquareLawConfig& config, double rate_hz_per_s,
                         double snr_2500hz_db) {
    const double look_s = dit_s(config.speed_wpm);
    // Both arms: the station comes down through the passband to zero beat and goes up again.
    const double dwell_s = 2.0 * config.passband_hz / rate_hz_per_s;
    const double looks = std::clamp(dwell_s / look_s, 1.0, kMostLooks);
    const double energy = power_from_db(snr_2500hz_db - config.loss_db) * kReferenceBandwidthHz *
                          kKeyDownShare * dwell_s;
    const double cells = config.pass_s * config.passband_hz;
    const double false_alarm = std::min(0.5, config.false_alarms_per_pass / cells);
    const double threshold = boost::math::gamma_q_inv(looks, false_alarm, Quiet());
    const boost::math::non_central_chi_squared_distribution<double, Quiet> law(2.0 * looks,
                                                                               2.0 * energy);
    // Far above the threshold the sum takes long and the answer is known.
    if (energy > 20.0 * threshold) return 1.0;
    const double chance = boost::math::cdf(boost::math::complement(law, 2.0 * threshold));
    return std::isfinite(chance) ? std::clamp(chance, 0.0, 1.0) : 0.0;
}

// All that was measured at one rate, by rising level.
struct Curve {
    double log_rate = 0.0;
    std::vector<double> snr_2500hz_db{}, chance{};

    [[nodiscard]] double at(double level) const {
        if (level < snr_2500hz_db.front()) return 0.0;
        if (level >= snr_2500hz_db.back()) return chance.back();
        const auto after = std::upper_bound(snr_2500hz_db.begin(), snr_2500hz_db.end(), level);
        const auto k = static_cast<std::size_t>(after - snr_2500hz_db.begin());
        const double share =
            (level - snr_2500hz_db[k - 1]) / (snr_2500hz_db[k] - snr_2500hz_db[k - 1]);
        return chance[k - 1] + share * (chance[k] - chance[k - 1]);
    }
};

// The rising sequence nearest in squares: neighbours that fall are pooled (Ayer and others, Ann.
// Math. Stat. 26 (1955) 641-647).
void make_rising(std::vector<double>& values) {
    std::vector<std::pair<double, std::size_t>> pools;  // mean, count
    for (const double value : values) {
        pools.emplace_back(value, 1);
        while (pools.size() > 1 && pools[pools.size() - 2].first > pools.back().first) {
            const auto [mean, count] = pools.back();
            pools.pop_back();
            auto& into = pools.back();
            const auto both = static_cast<double>(into.second + count);
            into.first = (into.first * static_cast<double>(into.second) +
                          mean * static_cast<double>(count)) /
                         both;
            into.second += count;
        }
    }
    std::size_t place = 0;
    for (const auto& [mean, count] : pools) {
        for (std::size_t i = 0; i < count; ++i) values[place++] = mean;
    }
}

double chance_by_curves(const std::vector<Curve>& curves, double rate_hz_per_s, double level) {
    const double log_rate = std::log(rate_hz_per_s);
    if (log_rate <= curves.front().log_rate) return curves.front().at(level);
    if (log_rate > curves.back().log_rate + 1e-9) return 0.0;
    std::size_t k = 1;
    while (k + 1 < curves.size() && curves[k].log_rate < log_rate) ++k;
    if (curves.size() == 1) return curves.front().at(level);
    const double share =
        (log_rate - curves[k - 1].log_rate) / (curves[k].log_rate - curves[k - 1].log_rate);
    const double slower = curves[k - 1].at(level);
    return slower + std::min(share, 1.0) * (curves[k].at(level) - slower);
}

}  // namespace

Result<DetectionModel> DetectionModel::square_law(const SquareLawConfig& config) {
    for (const Status& s :
         {within("passband_hz", config.passband_hz, 100.0, 20000.0),
          within("speed_wpm", config.speed_wpm, kMinSpeedWpm, kMaxSpeedWpm),
          within("false_alarms_per_pass", config.false_alarms_per_pass, 1e-6, 10.0),
          within("pass_s", config.pass_s, 1.0, 36000.0),
          within("loss_db", config.loss_db, 0.0, 30.0)}) {
        if (!s) return s.error();
    }
    return DetectionModel([config](double rate_hz_per_s, double snr_2500hz_db) {
        return square_law_chance(config, rate_hz_per_s, snr_2500hz_db);
    });
}

Result<DetectionModel> DetectionModel::measured(std::vector<MeasuredChance> points) {
    if (points.empty()) {
        return Error{ErrorCode::invalid_value, "a measured detection curve holds no point"};
    }
    for (const MeasuredChance& point : points) {
        for (const Status& s : {within("rate_hz_per_s", point.rate_hz_per_s, 1e-3, 1e6),
                                within("snr_2500hz_db", point.snr_2500hz_db, -100.0, 100.0),
                                within("chance", point.chance, 0.0, 1.0)}) {
            if (!s) return s.error();
        }
    }
    std::stable_sort(points.begin(), points.end(), [](const auto& a, const auto& b) {
        return std::tie(a.rate_hz_per_s, a.snr_2500hz_db) <
               std::tie(b.rate_hz_per_s, b.snr_2500hz_db);
    });
    std::vector<Curve> curves;
    for (const MeasuredChance& point : points) {
        const double log_rate = std::log(point.rate_hz_per_s);
        if (curves.empty() || curves.back().log_rate != log_rate) curves.push_back({log_rate});
        Curve& curve = curves.back();
        if (!curve.snr_2500hz_db.empty() && curve.snr_2500hz_db.back() == point.snr_2500hz_db) {
            return Error{ErrorCode::invalid_value,
                         fmt::format("{} Hz/s and {} dB stand twice in a measured detection curve",
                                     point.rate_hz_per_s, point.snr_2500hz_db)};
        }
        curve.snr_2500hz_db.push_back(point.snr_2500hz_db);
        curve.chance.push_back(point.chance);
    }
    for (Curve& curve : curves) make_rising(curve.chance);
    return DetectionModel([curves](double rate_hz_per_s, double snr_2500hz_db) {
        return chance_by_curves(curves, rate_hz_per_s, snr_2500hz_db);
    });
}

DetectionModel DetectionModel::from(std::function<double(double, double)> chance) {
    return DetectionModel(std::move(chance));
}

double passband_hz(const ReceiverAudio& audio) { return audio.high_hz - audio.low_hz; }

}  // namespace skedlark::dial
