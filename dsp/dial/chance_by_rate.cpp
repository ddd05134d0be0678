#include "dsp/dial/chance_by_rate.h"

#include <algorithm>
#include <cmath>

#include "dsp/dial/within.h"

namespace skedlark::dial {
namespace {

constexpr double kSlowest = 20.0;  // Hz/s
constexpr double kFastest = 20000.0;
constexpr std::size_t kNodes = 49;

// Means of the fifths of a standard normal: equally likely levels with the right mean. Their spread
// is 0.95 of the normal's. Computed as 5 (density at the lower bound - density at the upper).
constexpr std::array<double, kLevels> kFifths{-1.39981, -0.531913, 0.0, 0.531913, 1.39981};

double node_rate(std::size_t node) {
    return kSlowest * std::pow(kFastest / kSlowest, static_cast<double>(node) / (kNodes - 1));
}

}  // namespace

Result<ChanceByRate> ChanceByRate::create(const DetectionModel& model,
                                          const Expectation& expected) {
    for (const Status& s : {within("snr_2500hz_db", expected.snr_2500hz_db, -60.0, 60.0),
                            within("level_sd_db", expected.level_sd_db, 0.0, 30.0),
                            within("sending_chance", expected.sending_chance, 0.0, 1.0)}) {
        if (!s) return s.error();
    }
    return ChanceByRate(model, expected);
}

ChanceByRate::ChanceByRate(DetectionModel model, const Expectation& expected)
    : model_(std::move(model)), expected_(expected) {
    for (std::size_t level = 0; level < kLevels; ++level) {
        if (level > 0 && expected.level_sd_db == 0.0) {
            chances_[level] = chances_[0];
            continue;
        }
        const double snr = expected.snr_2500hz_db + expected.level_sd_db * kFifths[level];
        for (std::size_t node = 0; node < kNodes; ++node) {
            chances_[level].push_back(std::clamp(model_.chance(node_rate(node), snr), 0.0, 1.0));
        }
    }
}

ChanceByRate ChanceByRate::in_noise(double louder_db) const {
    Expectation expected = expected_;
    expected.snr_2500hz_db -= louder_db;
    return {model_, expected};
}

double ChanceByRate::at(double rate_hz_per_s, std::size_t level) const {
    static const double kNodesPerLog = (kNodes - 1) / std::log(kFastest / kSlowest);
    const double place =
        std::log(std::clamp(rate_hz_per_s, kSlowest, kFastest) / kSlowest) * kNodesPerLog;
    const auto node = std::min(static_cast<std::size_t>(place), kNodes - 2);
    const double share = place - static_cast<double>(node);
    const std::vector<double>& chances = chances_[level];
    const double chance = chances[node] + share * (chances[node + 1] - chances[node]);
    // Beyond the fastest nothing is claimed.
    return rate_hz_per_s > kFastest ? 0.0 : expected_.sending_chance * chance;
}

double ChanceByRate::at(double rate_hz_per_s) const {
    double sum = 0.0;
    for (std::size_t level = 0; level < kLevels; ++level) sum += at(rate_hz_per_s, level);
    return sum / kLevels;
}

std::optional<double> ChanceByRate::fastest_with(double wanted_chance) const {
    const double wanted = wanted_chance * expected_.sending_chance;
    // From fast to slow, so that a measured curve that is not quite even cannot mislead.
    for (std::size_t node = kNodes; node-- > 0;) {
        if (at(node_rate(node)) < wanted) continue;
        double slow = node_rate(node);
        double fast = node + 1 < kNodes ? node_rate(node + 1) : slow;
        for (int n = 0; n < 40; ++n) {
            const double middle = 0.5 * (slow + fast);
            (at(middle) >= wanted ? slow : fast) = middle;
        }
        return slow;
    }
    return std::nullopt;
}

}  // namespace skedlark::dial
